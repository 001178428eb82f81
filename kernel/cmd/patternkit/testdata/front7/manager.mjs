// The widgets of ipywidgets 7.
// Sliders are made of jQuery UI, which does not import its own parts here.
import 'jquery-ui/ui/version.js';
import 'jquery-ui/ui/keycode.js';
import 'jquery-ui/ui/widget.js';
import 'jquery-ui/ui/widgets/mouse.js';
import '@jupyter-widgets/controls/css/labvariables.css';
import '@jupyter-widgets/controls/css/widgets-base.css';
import * as base from '@jupyter-widgets/base';
import * as controls from '@jupyter-widgets/controls';
import { Widget } from '@lumino/widgets';
import { managerOf } from '../front/manager.mjs';

export const Manager = managerOf({ ManagerBase: base.ManagerBase, base, controls, Widget, nodeOf: view => view.pWidget });
