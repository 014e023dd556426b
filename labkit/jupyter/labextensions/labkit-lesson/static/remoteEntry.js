// Written by hand and served as it stands: there is no build step.
// Opt in by notebook metadata: "labkit": {"autorun": true}.
(() => {
  const base = document.currentScript.src; // where the other files are
  let say, isOutsideBench; // as the other files have them
  const isNotebook = w => Boolean(w && w.sessionContext && w.context && w.content && w.content.model);

  // The server marks every code cell of a notebook that this person's machine knows as its own.
  const isTrusted = model => [...model.cells].every(cell => cell.type !== 'code' || cell.trusted);

  const runOnOpen = (app, view) => {
    const seen = new WeakSet();
    const open = async w => {
      if (!isNotebook(w) || seen.has(w)) return;
      seen.add(w);
      await w.context.ready;
      const { model } = w.content;
      if (!(model.getMetadata('labkit') || {}).autorun) return;
      await view.add(w);
      if (!isTrusted(model)) {
        view.say(w, '');
        await app.commands.execute('apputils:notify', {
          type: 'warning',
          message: say('not-trusted'),
          options: {
            autoClose: false,
            actions: [{ label: say('start'), commandId: 'notebook:run-all-cells', args: {}, displayType: 'accent' }],
          },
        });
        return;
      }
      view.say(w, say('starting'));
      await w.sessionContext.ready;
      const { kernel } = w.sessionContext.session || {};
      if (!kernel) return;
      await kernel.info; // a kernel that says "idle" before this can still lose the first cells
      if (app.shell.currentWidget !== w) {
        seen.delete(w); // the person went elsewhere: run when they come back
        return;
      }
      await view.run(w);
      w.node.dataset.labkitRun = 'ended'; // cells out of view are not on the page: only this tells of them all
    };
    app.restored.then(() => {
      open(app.shell.currentWidget);
      app.shell.currentChanged.connect((_, change) => {
        view.apply(change.newValue);
        open(change.newValue);
      });
    });
  };

  const put = (element, attributes) => {
    for (const [name, value] of Object.entries(attributes)) {
      if (element.getAttribute(name) !== value) element.setAttribute(name, value);
    }
  };

  // ipywidgets shows a slider's label but ties it neither to the handle nor to the number beside it.
  const nameSliders = () => {
    for (const slider of document.querySelectorAll('.jupyter-widgets.widget-slider')) {
      const label = slider.querySelector('.widget-label');
      const name = label ? label.textContent.trim() : '';
      if (!name) continue;
      for (const handle of slider.querySelectorAll('.noUi-handle')) put(handle, { 'aria-label': name });
      for (const readout of slider.querySelectorAll('.widget-readout[contenteditable="true"]')) {
        put(readout, { role: 'textbox', 'aria-label': say('type-a-value', { name }) });
      }
    }
  };

  // In command mode the arrow keys go from cell to cell, also while a list or a choice has the focus.
  const keepArrows = () => {
    for (const chosen of document.querySelectorAll('.labkit-setting select, .labkit-asking input[type="radio"], '
      + '.labkit-drill select, .labkit-drill input, .labkit-rig select')) {
      put(chosen, { 'data-lm-suppress-shortcuts': 'true' });
    }
  };

  // ipywidgets ties radio buttons neither to their label nor to each other: then arrow keys do nothing.
  // A part's check boxes stand under a heading.
  let groups = 0;
  const nameGroups = () => {
    for (const group of document.querySelectorAll('.widget-radio')) {
      const [label, box] = ['.widget-label', '.widget-radio-box'].map(part => group.querySelector(part));
      if (!box) continue;
      if (!group.dataset.labkitGroup) group.dataset.labkitGroup = `labkit-group-${groups++}`;
      for (const choice of box.querySelectorAll('input')) put(choice, { name: group.dataset.labkitGroup });
      const name = label ? label.textContent.trim() : '';
      put(box, name ? { role: 'radiogroup', 'aria-label': name } : { role: 'radiogroup' });
    }
    for (const group of document.querySelectorAll('.labkit-part.widget-vbox')) {
      const head = group.querySelector('.widget-html-content');
      if (head) put(group, { role: 'group', 'aria-label': head.textContent.trim() });
    }
  };

  // A live region must be an element that lasts: the container, not the sentence that is replaced in it.
  const announceStatus = () => {
    for (const line of document.querySelectorAll('.labkit-status .widget-html-content')) {
      put(line, { role: 'status', 'aria-live': 'polite' });
    }
  };

  // ipywidgets holds a widget's new state back while an earlier one is on its way, but lets Enter, clicks
  // and other widgets' states pass at once: they would reach the kernel before what was typed or chosen
  // earlier. So what is held back goes first.
  const keepOrder = ({ WidgetModel }) => {
    const held = new Set();
    const { sync, send } = WidgetModel.prototype;
    const sendHeld = but => {
      for (const model of held) {
        if (model === but) continue;
        held.delete(model);
        const { _msg_buffer: state, _msg_buffer_callbacks: callbacks } = model;
        if (!state) continue;
        model._msg_buffer = model._msg_buffer_callbacks = null;
        try {
          const message = model.send_sync_message(state, callbacks);
          if (model.rememberLastUpdateFor) model.rememberLastUpdateFor(message);
        } catch (problem) { // another maker's widget: its state waits on, and the rest goes its way
          if (!model._msg_buffer) [model._msg_buffer, model._msg_buffer_callbacks] = [state, callbacks];
          console.warn('labkit: what was typed could not go first', problem);
        }
      }
    };
    WidgetModel.prototype.sync = function (...given) {
      sendHeld(this);
      const answer = sync.apply(this, given);
      held[this._msg_buffer ? 'add' : 'delete'](this);
      return answer;
    };
    WidgetModel.prototype.send = function (...given) {
      sendHeld();
      return send.apply(this, given);
    };
  };

  let shared = {};
  const keepAllInOrder = async () => {
    for (const version of Object.values(shared['@jupyter-widgets/base'] || {})) {
      try {
        keepOrder((await version.get())());
      } catch (problem) { // a lesson starts and is labelled all the same
        console.warn('labkit: a version of the widgets could not be kept in order', problem);
      }
    }
  };

  const watchPage = () => {
    let waiting = false;
    const look = () => {
      waiting = false;
      nameSliders();
      keepArrows();
      nameGroups();
      announceStatus();
    };
    new MutationObserver(changes => {
      if (!waiting && changes.some(isOutsideBench)) {
        waiting = true;
        requestAnimationFrame(look);
      }
    }).observe(document.body, { childList: true, subtree: true });
  };

  const plugin = {
    id: 'labkit-lesson:plugin',
    description: 'Shows a lesson as a page, runs a trusted one when it opens, keeps what is typed in order, names sliders and status line.',
    autoStart: true,
    activate: async app => {
      await keepAllInOrder();
      const address = new URL('labkit/words.js', app.serviceManager.serverSettings.baseUrl);
      const words = import(address.href).catch(() => ({ say: key => key, ask: async () => null })); // sentences by their names
      const { isOutsideBench: outside, makeView, setShared, setWords } = await import(new URL('lesson_view.js', base).href);
      setShared(shared);
      setWords(await words);
      ({ say } = await words);
      isOutsideBench = outside;
      runOnOpen(app, makeView(app, base));
      watchPage();
    },
  };
  const container = { init: async scope => { shared = scope || {}; }, get: async () => () => ({ __esModule: true, default: plugin }) };
  (window._JUPYTERLAB = window._JUPYTERLAB || {})['labkit-lesson'] = container;
})();
