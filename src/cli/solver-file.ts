/** The solver's module, beside the bundle or among the installed packages. */
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Where it may lie below a folder: in the package, and in the tree the package is made from. */
const PLACES = ['highs.wasm', 'node_modules/highs/build/highs.wasm'];

/** @throws Error when it is nowhere above: the package is incomplete. */
export function solverBytes(): Uint8Array {
  let folder = dirname(fileURLToPath(import.meta.url));
  for (;;) {
    for (const place of PLACES) {
      const path = join(folder, place);
      if (existsSync(path)) return readFileSync(path);
    }
    const parent = dirname(folder);
    if (parent === folder) throw new Error('the package is incomplete: highs.wasm is missing');
    folder = parent;
  }
}
