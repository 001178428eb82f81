// A small notebook page: the cells of a notebook on the server, each with a
// button that runs it, and JupyterLab's output areas under them.
import '@jupyterlab/rendermime/style/index.js';
import '@jupyterlab/outputarea/style/index.js';
import { OutputArea, OutputAreaModel } from '@jupyterlab/outputarea';
import { RenderMimeRegistry, standardRendererFactories } from '@jupyterlab/rendermime';
import { ContentsManager, KernelManager, ServerConnection, SessionManager } from '@jupyterlab/services';
import { Widget } from '@lumino/widgets';
import { Manager } from 'manager';

const { server, token, notebook } = window.options;

// Notebook 6 knows no names of protocols, and a browser gives up when it is
// not answered with one.
class PlainWebSocket extends WebSocket {
  constructor(url) {
    super(url);
  }
}

const serverSettings = ServerConnection.makeSettings({
  baseUrl: server, wsUrl: server.replace(/^http/, 'ws'), token, appendToken: true, WebSocket: PlainWebSocket,
});
const contents = new ContentsManager({ serverSettings });
const sessions = new SessionManager({ serverSettings, kernelManager: new KernelManager({ serverSettings }) });
await sessions.ready;

const file = await contents.get(notebook, { content: true });
const session = await connect();
const manager = new Manager(session.kernel);
await session.kernel.info;
await manager.restore();
const registry = new RenderMimeRegistry({ initialFactories: standardRendererFactories });
registry.addFactory(manager.renderer);
const cells = file.content.cells.map(show);

document.querySelector('#save').addEventListener('click', async event => {
  for (const { cell, model } of cells) cell.outputs = model.toJSON();
  await contents.save(notebook, { type: 'notebook', format: 'json', content: file.content });
  event.target.dataset.saved = 'yes';
});
document.body.dataset.ready = 'yes';

// connect joins the notebook's session, or starts it.
async function connect() {
  const running = await sessions.findByPath(notebook);
  if (running) return sessions.connectTo({ model: running });
  return sessions.startNew({ path: notebook, name: notebook, type: 'notebook', kernel: { name: 'patternkit' } });
}

// show adds a cell to the page.
function show(cell) {
  const section = document.body.appendChild(document.createElement('section'));
  section.id = cell.id;
  section.appendChild(document.createElement('pre')).textContent = cell.source;
  const run = section.appendChild(document.createElement('button'));
  run.textContent = 'Run';
  const model = new OutputAreaModel({ trusted: true, values: cell.outputs });
  const area = new OutputArea({ model, rendermime: registry });
  Widget.attach(area, section);
  run.addEventListener('click', async () => {
    section.dataset.state = 'runs';
    // Kept when it is done: drawings are updated through it.
    const future = session.kernel.requestExecute({ code: cell.source, stop_on_error: true }, false, { cellId: cell.id });
    area.future = future;
    const reply = await future.done;
    cell.execution_count = reply.content.execution_count;
    section.dataset.state = reply.content.status;
  });
  return { cell, model };
}
