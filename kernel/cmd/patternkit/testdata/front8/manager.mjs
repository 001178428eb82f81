// The widgets of ipywidgets 8.
import '@jupyter-widgets/controls/css/labvariables.css';
import '@jupyter-widgets/controls/css/widgets-base.css';
import * as base from '@jupyter-widgets/base';
import { ManagerBase } from '@jupyter-widgets/base-manager';
import * as controls from '@jupyter-widgets/controls';
import { Widget } from '@lumino/widgets';
import { managerOf } from '../front/manager.mjs';

export const Manager = managerOf({ ManagerBase, base, controls, Widget, nodeOf: view => view.luminoWidget });
