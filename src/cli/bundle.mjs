/** Bundles the command line into `dist/`; what only some commands need becomes files of its own, loaded when used. */
import { copyFileSync, rmSync } from 'node:fs';
import { build } from 'esbuild';

rmSync('dist', { recursive: true, force: true });
await build({
  entryPoints: { ullage: 'src/cli/main.ts' },
  outdir: 'dist',
  bundle: true,
  splitting: true,
  format: 'esm',
  platform: 'node',
  target: 'node20.19',
  minify: true,
  legalComments: 'linked',
  chunkNames: 'chunk-[hash]',
  // some libraries still ask for `require`
  banner: {
    js: "import { createRequire as createRequireForBundle } from 'node:module'; const require = createRequireForBundle(import.meta.url);",
  },
  logLevel: 'warning',
});
// the solver's module is read when a blend is sought
copyFileSync('node_modules/highs/build/highs.wasm', 'dist/highs.wasm');
copyFileSync('node_modules/highs/LICENSE', 'dist/highs.LICENSE.txt');
