"""Pictures, words and sliders: everything a person sees, and nothing that is computed.

A view only reads a `labkit.trace.Trace`. Import the module that is needed; this package imports
none of them, so that a run from the command line never loads a widget.

Why it is so
------------
* A run is a scene, painted by the page in SVG and by matplotlib on paper: drawing in the kernel was
  two thirds of the wait, and SVG beats canvas below a thousand points a line. What a page turns
  comes as one message in flight; the last value wins. Charts beside a bench are drawn once the page
  is quiet, and charts of a lesson's paper only when paper is asked for (`for_paper`).
* Handles in a picture are HTML sliders laid over it: a touch that begins in SVG scrolls the page.
* A page that shows the outcome first teaches nothing, so what is told after `compare()` waits for
  the predictions. Hiding cells by style sheet fails, since cells out of view are not on the page.
* One notebook serves screen and paper: widgets carry the HTML that stands for them, and words for
  one of both are marked by comments (`paper`).
* A chart is an image of each of its panels, side by side where there is room: one drawing serves
  desk, tablet, phone and paper in letters that can be read. On a phone the leading panel of a bench
  stays over the controls; on a projector any page is drawn larger in a smaller frame, instead of a
  second layout.
* In metric, turns of the screw times the pressure of a turn can miss the told point by 1 kPa.
"""
