/** `ullage new FOLDER`: starts a journal from an example, in a folder that holds nothing yet. */
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join, relative, sep } from 'node:path';
import { packagePath } from './package-path.ts';
import { diskReason } from './replace-file.ts';
import { visible } from './show.ts';

export const EXAMPLES = ['small', 'season'] as const;
export type Example = (typeof EXAMPLES)[number];

/** The files a package cannot carry under their own names: what publishes it gives them a meaning there. */
const HIDDEN: Readonly<Record<string, string>> = {
  '.gitattributes': `# Lines that two people added are both kept, and every machine has the same line ends.
*.cellar text eol=lf merge=union
`,
  '.gitignore': `# The pages, as \`ullage build . --out site\` writes them: they can be made again.
/site/
`,
};

/** Every file of an example by its path, in a fixed order. */
function filesOf(example: Example): [path: string, text: string][] {
  const from = packagePath(join('templates', 'new', example));
  const found = readdirSync(from, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
  return [
    ...Object.entries(HIDDEN),
    ...found.map((path): [string, string] => [relative(from, path), readFileSync(path, 'utf8')]),
  ];
}

/** Why a journal cannot begin here; undefined where the folder is empty or not there. */
function refusal(folder: string): string | undefined {
  try {
    return readdirSync(folder).length === 0 ? undefined : 'it holds something already; name a new folder';
  } catch (error) {
    const why = diskReason(error);
    if (why === undefined) throw error;
    return error instanceof Error && 'code' in error && error.code === 'ENOENT' ? undefined : why;
  }
}

/** 0 the journal is there, 2 it could not be made. */
export function newJournal(folder: string, example: Example): number {
  const refused = refusal(folder);
  if (refused !== undefined) {
    process.stderr.write(`${visible(folder)} was left as it is: ${refused}\n`);
    return 2;
  }
  const files = filesOf(example);
  try {
    for (const [path, text] of files) {
      mkdirSync(dirname(join(folder, path)), { recursive: true });
      // whoever put a file there meanwhile keeps it
      writeFileSync(join(folder, path), text, { flag: 'wx' });
    }
  } catch (error) {
    const why = diskReason(error);
    if (why === undefined) throw error;
    process.stderr.write(`the journal in ${visible(folder)} was not finished: ${why}\n`);
    return 2;
  }
  const shown = visible(folder);
  const named = files.map(([path]) => `  ${path.split(sep).join('/')}`);
  process.stdout.write(
    `a journal in ${shown}:\n${named.join('\n')}\n\nopen its README.md, then: ullage check ${shown}\n`,
  );
  return 0;
}
