/** Where the package keeps its templates and pages, beside the bundle or in the source tree. */
import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The path of a file or folder of the package, looked for upwards from this module. */
export function packagePath(name: string): string {
  let folder = dirname(fileURLToPath(import.meta.url));
  for (;;) {
    const path = join(folder, name);
    if (existsSync(path)) return path;
    const parent = dirname(folder);
    if (parent === folder) throw new Error(`the package is incomplete: ${name} is missing`);
    folder = parent;
  }
}
