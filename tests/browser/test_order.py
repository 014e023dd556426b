"""The page keeps what is typed in order also beside widgets that are not made as its own are.

The script alone runs here, in a bare page, with models of another maker in place of ipywidgets'.
"""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, Route

from tests.browser.conftest import CHECKOUT

pytestmark = pytest.mark.browser

SCRIPT = CHECKOUT / "labkit/jupyter/labextensions/labkit-lesson/static/remoteEntry.js"
SETTING = """async () => {
  const sent = [], warned = [];
  console.warn = (...words) => warned.push(words.join(' '));
  class WidgetModel {
    constructor(name, fails) { Object.assign(this, { name, fails }); }
    sync(state) { this._msg_buffer = state; this._msg_buffer_callbacks = {}; }
    send(content) { sent.push(`${this.name} ${content}`); }
    send_sync_message(state) {
      if (this.fails) throw new Error('not here');
      sent.push(`${this.name} ${state}`);
      return state;
    }
  }
  const versions = {
    '1.0.0': { get: async () => { throw new Error('not to be loaded'); } },
    '2.0.0': { get: async () => () => ({ WidgetModel }) },
  };
  const lab = {
    restored: { then: () => { sent.push('lesson starts'); } },
    serviceManager: { serverSettings: { baseUrl: location.href } },
  };
  const container = window._JUPYTERLAB['labkit-lesson'];
  await container.init({ '@jupyter-widgets/base': versions });
  let problem = '';
  try {
    await (await container.get())().default.activate(lab);
  } catch (error) { problem = error.message; }
  const [broken, text, button] = [['other', true], ['text'], ['button']].map(one => new WidgetModel(...one));
  broken.sync('dragged');
  text.sync('typed');
  try {
    button.send('click');
  } catch (error) { problem += error.message; }
  return { sent, problem, warned, kept: broken._msg_buffer, left: text._msg_buffer };
}"""


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    made = browser.new_page()

    def answer(route: Route) -> None:
        """Serve the extension's own files, and an empty page to load them in."""
        asked = SCRIPT.parent / route.request.url.rpartition("/")[2]
        if asked.is_file():
            route.fulfill(path=asked)
        else:
            route.fulfill(body="<!doctype html>", content_type="text/html")

    made.route("http://lesson.test/**", answer)
    made.goto("http://lesson.test/")
    made.add_script_tag(url=f"http://lesson.test/{SCRIPT.name}")
    yield made
    made.close()


def test_another_makers_widget_holds_up_neither_start_nor_click(page: Page) -> None:
    """A version that does not load, a model that cannot send, one without `rememberLastUpdateFor`."""
    seen = page.evaluate(SETTING)

    assert seen["problem"] == ""
    assert seen["sent"] == ["lesson starts", "text typed", "button click"]
    assert (seen["kept"], seen["left"]) == ("dragged", None)
    assert ["not to be loaded" in seen["warned"][0], "not here" in seen["warned"][1]] == [True] * 2
