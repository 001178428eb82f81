import path from 'node:path';
import { build } from 'esbuild';
import { drive } from '../front/drive.mjs';

await drive(build, import.meta.dirname, {
  // What this front end can't load it complains of, and closes: by that the
  // kernel knows it.
  expected: /no LayoutModel of @jupyter-widgets\/base 2\.0\.0 here|Could not (instantiate widget|create a model)|Exception opening new comm/,
  inject: [path.join(import.meta.dirname, 'jquery.mjs')],
});
