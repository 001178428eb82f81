// The widgets of ipywidgets, joined to a kernel: what JupyterLab's widget
// extension does, without JupyterLab.
const viewMIME = 'application/vnd.jupyter.widget-view+json';

// managerOf is the manager over one version of the packages: nodeOf is how that
// names the element of a view.
export function managerOf({ ManagerBase, base, controls, Widget, nodeOf }) {
  const modules = { '@jupyter-widgets/base': base, '@jupyter-widgets/controls': controls };
  const versions = { '@jupyter-widgets/base': base.JUPYTER_WIDGETS_VERSION, '@jupyter-widgets/controls': controls.JUPYTER_CONTROLS_VERSION };

  class Manager extends ManagerBase {
    constructor(kernel) {
      super();
      this.kernel = kernel;
      kernel.registerCommTarget(this.comm_target_name, (comm, message) =>
        this.handle_comm_open(new base.shims.services.Comm(comm), message));
    }

    // A module in another version than the page has is an error here as it is
    // in JupyterLab.
    async loadClass(name, module, version) {
      const found = modules[module]?.[name];
      if (!found || versions[module] !== version) {
        throw new Error(`no ${name} of ${module} ${version} here, only ${versions[module]}`);
      }
      return found;
    }

    async _create_comm(target, id, data, metadata, buffers) {
      const comm = this.kernel.createComm(target, id);
      if (data || metadata) comm.open(data, metadata, buffers);
      return new base.shims.services.Comm(comm);
    }

    async _get_comm_info() {
      const reply = await this.kernel.requestCommInfo({ target_name: this.comm_target_name });
      return reply.content.comms ?? {};
    }

    // restore fetches the widgets that the kernel has already.
    restore() {
      return this._loadFromKernel();
    }

    // renderer shows a widget among a cell's outputs.
    get renderer() {
      return { safe: true, mimeTypes: [viewMIME], defaultRank: 0, createRenderer: options => new View(this, options.mimeType) };
    }
  }

  class View extends Widget {
    constructor(manager, mime) {
      super();
      this.manager = manager;
      this.mime = mime;
    }

    async renderModel(output) {
      const id = output.data[this.mime].model_id;
      if (!this.manager.has_model(id)) {
        this.node.textContent = output.data['text/plain'];
        return;
      }
      const view = await this.manager.create_view(await this.manager.get_model(id));
      Widget.attach(nodeOf(view), this.node);
    }
  }

  return Manager;
}
