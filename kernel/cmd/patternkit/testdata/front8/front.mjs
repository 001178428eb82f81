import { build } from 'esbuild';
import { drive } from '../front/drive.mjs';

await drive(build, import.meta.dirname);
