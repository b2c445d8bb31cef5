/** Runs the bundled program as a user would, and makes journals for it to read. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = fileURLToPath(new URL('../..', import.meta.url));
/** Another bundle may be tried out by its path in the environment. */
export const PROGRAM = process.env.ULLAGE_PROGRAM ?? join(ROOT, 'dist', 'ullage.js');

export interface Ran {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs a program of Node with arguments; neither the terminal's colours nor its width reach it. */
export function runNode(
  program: string,
  args: readonly string[],
  options: { cwd?: string; env?: Record<string, string> } = {},
): Ran {
  const { NO_COLOR: _, FORCE_COLOR: __, NODE_OPTIONS: ___, ...env } = process.env;
  const { status, stdout, stderr } = spawnSync(process.execPath, [program, ...args], {
    cwd: options.cwd ?? ROOT,
    env: { ...env, ...options.env },
    encoding: 'utf8',
    maxBuffer: 64 * 1024 * 1024,
  });
  return { status, stdout, stderr };
}

/** The bundle in `dist`; made first where there is none, as `npm test` makes it always. */
export function ullage(args: readonly string[], options: { cwd?: string; env?: Record<string, string> } = {}): Ran {
  if (!existsSync(PROGRAM)) spawnSync(process.execPath, [join(ROOT, 'src/cli/bundle.mjs')], { cwd: ROOT });
  return runNode(PROGRAM, args, options);
}

/** A folder of its own with these files in it. */
export function folderOf(files: Readonly<Record<string, string>>): string {
  const folder = mkdtempSync(join(tmpdir(), 'ullage-'));
  for (const [path, text] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  }
  return folder;
}

export const CLEAN = `vessel T1..T2 tank 1200 L
block ledge-2 Syrah

2026-01-12 Mon
found T1 800 L as GR of ledge-2, vintage 2025

2026-01-14 Wed
10:00 transfer T1 100 L to T2
`;

export const WRONG = `${CLEAN}11:00 transfer T1 900 L to T2
`;

export const MILD = `${CLEAN}11:00 dip T1 640 L
`;
