/** Repositories of their own in temporary folders, for what is asked of git. */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { devNull, tmpdir } from 'node:os';
import { dirname, join } from 'node:path';

/** No settings of the machine reach these repositories. */
const ENVIRONMENT = { ...process.env, GIT_CONFIG_GLOBAL: devNull, GIT_CONFIG_NOSYSTEM: '1', LC_ALL: 'C' };

export const HAS_GIT = spawnSync('git', ['--version']).status === 0;

const made: string[] = [];

/** A new folder that is cleared away at the end. */
export function scratch(): string {
  const folder = realpathSync(mkdtempSync(join(tmpdir(), 'ullage-diff-')));
  made.push(folder);
  return folder;
}

export function clearAway(): void {
  for (const folder of made.splice(0)) rmSync(folder, { recursive: true, force: true });
}

export interface Author {
  readonly by: string;
  /** As git takes it: `2026-01-14T18:00:00+0200`. */
  readonly on: string;
}

export const ANA: Author = { by: 'Ana', on: '2026-01-14T18:00:00+0200' };
export const BO: Author = { by: 'Bo', on: '2026-01-15T07:30:00-0500' };

export class TestRepository {
  readonly folder: string;

  constructor(folder = scratch(), start: readonly string[] = ['init', '-q', '-b', 'main']) {
    this.folder = folder;
    if (start.length > 0) this.git([...start]);
  }

  /** What git answers, without the last line break. Throws where it fails. */
  git(args: readonly string[], author: Author = ANA): string {
    const { status, stdout, stderr } = spawnSync('git', [...args], {
      cwd: this.folder,
      encoding: 'utf8',
      env: {
        ...ENVIRONMENT,
        GIT_AUTHOR_NAME: author.by,
        GIT_AUTHOR_EMAIL: `${author.by.toLowerCase()}@example.org`,
        GIT_AUTHOR_DATE: author.on,
        GIT_COMMITTER_NAME: 'Somebody',
        GIT_COMMITTER_EMAIL: 'somebody@example.org',
        GIT_COMMITTER_DATE: author.on,
      },
    });
    if (status !== 0) throw new Error(`git ${args.join(' ')}: ${stderr}`);
    return stdout.replace(/\n$/, '');
  }

  write(files: Readonly<Record<string, string | Uint8Array | null>>): void {
    for (const [path, content] of Object.entries(files)) {
      const whole = join(this.folder, path);
      if (content === null) rmSync(whole, { recursive: true, force: true });
      else {
        mkdirSync(dirname(whole), { recursive: true });
        writeFileSync(whole, content);
      }
    }
  }

  /** Writes files, takes away those that are null, and commits; gives the commit's id. */
  commit(
    files: Readonly<Record<string, string | Uint8Array | null>>,
    subject: string,
    author: Author = ANA,
    tag?: string,
  ): string {
    this.write(files);
    this.git(['add', '-A']);
    this.git(['commit', '-q', '--allow-empty', '-m', subject], author);
    if (tag !== undefined) this.git(['tag', tag]);
    return this.git(['rev-parse', 'HEAD']);
  }
}
