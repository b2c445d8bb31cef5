/**
 * Asks git about a repository: where it is, what a revision is, which commits there are, what an object holds. Git is run
 * without a shell and only to read; nothing of the repository is run, and no other machine is asked.
 */
import { type ChildProcessWithoutNullStreams, spawn, spawnSync } from 'node:child_process';
import { existsSync, realpathSync, statSync } from 'node:fs';
import { devNull } from 'node:os';
import { dirname, join, relative, resolve, sep } from 'node:path';
import type { Commit } from '../report/compare/commits.ts';

/** Git could not do what was asked; the message says why, for people. */
export class GitFailure extends Error {}

/** Before all else: no hooks, no pager, no helpers, no other machine, and histories as their commits tell them. */
const ALWAYS: readonly string[] = [
  '--no-pager',
  '--literal-pathspecs',
  '--no-replace-objects',
  ...[
    `core.hooksPath=${devNull}`,
    'core.fsmonitor=false',
    'core.pager=cat',
    'core.commitGraph=false',
    'protocol.allow=never',
    'gc.auto=0',
    'maintenance.auto=false',
  ].flatMap((setting) => ['-c', setting]),
];

/** The environment without whatever would change what git does. */
function environment(): NodeJS.ProcessEnv {
  const kept = Object.entries(process.env).filter(([name]) => !/^GIT_/i.test(name));
  return {
    ...Object.fromEntries(kept),
    LC_ALL: 'C',
    GIT_ALLOW_PROTOCOL: 'none',
    GIT_GRAFT_FILE: devNull,
    GIT_NO_LAZY_FETCH: '1',
    GIT_NO_REPLACE_OBJECTS: '1',
    GIT_OPTIONAL_LOCKS: '0',
    GIT_TERMINAL_PROMPT: '0',
  };
}

interface Answer {
  readonly status: number;
  readonly out: string;
  readonly error: string;
}

const NOT_THERE = 'git was not found on this machine: without it only folders can be compared';

/** Runs git once and waits. Throws a `GitFailure` where git itself is not there. */
function git(folder: string, args: readonly string[]): Answer {
  const { status, stdout, stderr, error } = spawnSync('git', [...ALWAYS, ...args], {
    cwd: folder,
    env: environment(),
    encoding: 'utf8',
    maxBuffer: 1 << 30,
    windowsHide: true,
  });
  if (error !== undefined) {
    if ('code' in error && error.code === 'ENOENT') throw new GitFailure(NOT_THERE);
    throw new GitFailure(`git could not be run: ${error.message}`);
  }
  return { status: status ?? -1, out: stdout, error: stderr };
}

export interface Repository {
  /** Where git is run: the top of the work tree, or the repository itself where it is bare. */
  readonly top: string;
  readonly bare: boolean;
  /** A clone that lacks the beginning of its history. */
  readonly shallow: boolean;
  /** The journal's folder from the top of the tree, with `/`; empty for the top itself. */
  readonly prefix: string;
}

const withoutBreak = (text: string): string => text.replace(/\r?\n$/, '');

/** The nearest folder that is there, upwards from a path, and what is left of the path below it. */
function nearestFolder(path: string): { folder: string; rest: string } {
  const whole = resolve(path);
  let folder = whole;
  while (!(existsSync(folder) && statSync(folder).isDirectory()) && dirname(folder) !== folder)
    folder = dirname(folder);
  return { folder: realpathSync(folder), rest: relative(folder, whole) };
}

/**
 * The repository around a folder, which need not be there any more: revisions may still have it. Throws a `GitFailure`
 * where there is none, or git refuses it.
 */
export function openRepository(journal: string): Repository {
  const { folder, rest } = nearestFolder(journal);
  const asked = git(folder, ['rev-parse', '--is-bare-repository', '--is-inside-git-dir', '--is-shallow-repository']);
  if (asked.status !== 0) throw new GitFailure(whyNot(asked.error));
  const [bare, inside, shallow] = asked.out.split(/\r?\n/).map((line) => line === 'true');
  if (bare === true) {
    const top = realpathSync(withoutBreak(git(folder, ['rev-parse', '--absolute-git-dir']).out));
    return { top, bare: true, shallow: shallow === true, prefix: slashed(relative(top, join(folder, rest))) };
  }
  if (inside === true) throw new GitFailure('this is a folder of git itself; name the folder of the journal');
  const top = withoutBreak(git(folder, ['rev-parse', '--show-toplevel']).out);
  const prefix = withoutBreak(git(folder, ['rev-parse', '--show-prefix']).out);
  return { top, bare: false, shallow: shallow === true, prefix: slashed(join(prefix, rest)) };
}

const slashed = (path: string): string =>
  path
    .split(sep)
    .join('/')
    .replace(/^\.?\/?|\/$/g, '');

function whyNot(error: string): string {
  if (/not a git repository/i.test(error)) return 'there is no git repository here: only folders can be compared';
  if (/dubious ownership/i.test(error)) {
    return 'git does not read this repository because it belongs to somebody else; git config safe.directory allows it';
  }
  if (/not a git command|unknown option|usage:/i.test(error)) return 'this git is too old: 2.30 or newer is needed';
  return `git does not read this repository: ${error.trim().split('\n')[0] ?? ''}`;
}

const OBJECT = /^[0-9a-f]{40}(?:[0-9a-f]{24})?$/;

/** The object a revision names; undefined where it names none, or more than one. */
export function revisionIn(repository: Repository, text: string): string | undefined {
  const { status, out } = git(repository.top, ['rev-parse', '--verify', '--quiet', '--end-of-options', text]);
  const id = withoutBreak(out);
  return status === 0 && OBJECT.test(id) ? id : undefined;
}

/** The commit two others go back to; undefined where they share none, or it is not there. */
export function mergeBase(repository: Repository, one: string, other: string): string | undefined {
  const id = git(repository.top, ['merge-base', '--end-of-options', one, other]).out.split(/\r?\n/)[0] ?? '';
  return OBJECT.test(id) ? id : undefined;
}

/** Commits that one has and another has not, which touched the journal, merges all; the oldest first. Both are ids. */
export function commitsBetween(repository: Repository, without: string | undefined, until: string): string[] {
  const { status, out, error } = git(repository.top, [
    'rev-list',
    '--topo-order',
    '--reverse',
    '--full-history',
    '--parents',
    '--end-of-options',
    until,
    ...(without === undefined ? [] : [`^${without}`]),
    '--',
    ...(repository.prefix === '' ? [] : [repository.prefix]),
  ]);
  if (status !== 0) throw new GitFailure(`git could not list the commits: ${error.trim().split('\n')[0] ?? ''}`);
  return out.split(/\r?\n/).flatMap((line) => {
    const [id = ''] = line.split(' ');
    return OBJECT.test(id) ? [id] : [];
  });
}

export interface GitObject {
  readonly kind: 'commit' | 'tree' | 'blob' | 'tag';
  readonly bytes: Buffer;
}

const KINDS: ReadonlySet<string> = new Set<GitObject['kind']>(['commit', 'tree', 'blob', 'tag']);
const isKind = (text: string | undefined): text is GitObject['kind'] => text !== undefined && KINDS.has(text);

/** Reads any number of objects through one run of git. */
export class Objects {
  private readonly child: ChildProcessWithoutNullStreams;
  private readonly waiting: {
    readonly give: (object: GitObject | undefined) => void;
    readonly fail: (failure: GitFailure) => void;
  }[] = [];
  private parts: Buffer[] = [];
  private size = 0;
  /** Bytes that are needed before there is anything to do. */
  private needed = 1;
  private head: { readonly kind: GitObject['kind']; readonly size: number } | undefined;
  private said = '';
  private failure: GitFailure | undefined;

  constructor(repository: Repository) {
    this.child = spawn('git', [...ALWAYS, 'cat-file', '--batch'], {
      cwd: repository.top,
      env: environment(),
      windowsHide: true,
    });
    this.child.stdout.on('data', (part: Buffer) => {
      this.parts.push(part);
      this.size += part.length;
      if (this.size >= this.needed) this.take();
    });
    this.child.stderr.on('data', (part: Buffer) => {
      if (this.said.length < 2000) this.said += part.toString('utf8');
    });
    // what is written to a git that has ended is told of by its end
    this.child.stdin.on('error', () => {});
    this.child.on('error', (error: NodeJS.ErrnoException) => {
      this.end(error.code === 'ENOENT' ? NOT_THERE : `git could not be run: ${error.message}`);
    });
    this.child.on('close', () => this.end(`git stopped: ${this.said.trim().split('\n')[0] ?? ''}`));
  }

  /** An object by its id; undefined where this clone does not have it. */
  read(id: string): Promise<GitObject | undefined> {
    if (!OBJECT.test(id)) return Promise.resolve(undefined);
    return new Promise((give, fail) => {
      if (this.failure !== undefined) {
        fail(this.failure);
        return;
      }
      this.waiting.push({ give, fail });
      this.child.stdin.write(`${id}\n`);
    });
  }

  close(): void {
    this.child.stdin.end();
  }

  private end(why: string): void {
    this.failure ??= new GitFailure(why);
    for (const { fail } of this.waiting.splice(0)) fail(this.failure);
  }

  private take(): void {
    let bytes = this.parts.length === 1 ? (this.parts[0] ?? Buffer.alloc(0)) : Buffer.concat(this.parts);
    for (;;) {
      if (this.head === undefined) {
        const end = bytes.indexOf(10);
        if (end === -1) {
          this.needed = bytes.length + 1;
          break;
        }
        const [, kind, size] = bytes.subarray(0, end).toString('latin1').split(' ');
        bytes = bytes.subarray(end + 1);
        if (isKind(kind)) this.head = { kind, size: Number(size) };
        else this.waiting.shift()?.give(undefined);
        continue;
      }
      const { kind, size } = this.head;
      // a line break stands behind every object
      if (bytes.length <= size) {
        this.needed = size + 1;
        break;
      }
      this.waiting.shift()?.give({ kind, bytes: Buffer.from(bytes.subarray(0, size)) });
      this.head = undefined;
      bytes = bytes.subarray(size + 1);
    }
    this.parts = bytes.length === 0 ? [] : [bytes];
    this.size = bytes.length;
    if (bytes.length === 0) this.needed = 1;
  }
}

/** A commit as its object tells it. */
export interface CommitObject extends Commit {
  readonly tree: string;
  readonly parents: readonly string[];
}

function decoded(bytes: Buffer, encoding: string | undefined): string {
  try {
    return new TextDecoder(encoding ?? 'utf-8').decode(bytes);
  } catch {
    return bytes.toString('latin1');
  }
}

/** `2026-10-04 18:20 +0200` of seconds since 1970 and an offset, on the author's own clock; empty where there is no such time. */
function dateText(seconds: string, offset: string): string {
  const [, sign = '+', hours = '0', minutes = '0'] = /^([+-])(\d{2})(\d{2})$/.exec(offset) ?? [];
  const east = (sign === '-' ? -60 : 60) * (Number(hours) * 60 + Number(minutes));
  const date = new Date((Number(seconds) + east) * 1000);
  return Number.isNaN(date.getTime()) ? '' : `${date.toISOString().slice(0, 16).replace('T', ' ')} ${offset}`;
}

/** Reads the text of a commit's object; lines that go on, as those of signatures do, are passed over. */
export function commitOf(id: string, bytes: Buffer): CommitObject {
  const end = bytes.indexOf('\n\n');
  const headBytes = end === -1 ? bytes : bytes.subarray(0, end);
  const encoding = /^encoding (.+)$/m.exec(headBytes.toString('latin1'))?.[1];
  const head = decoded(headBytes, encoding).split('\n');
  const message = end === -1 ? '' : decoded(bytes.subarray(end + 2), encoding);
  const all = (word: string): string[] =>
    head.flatMap((line) => (line.startsWith(`${word} `) ? [line.slice(word.length + 1)] : []));
  const [, author = '', seconds = '', offset = ''] =
    /^(.*?) ?<[^>]*> (-?\d+) ([+-]\d+)$/.exec(all('author')[0] ?? '') ?? [];
  const [subject = ''] = message.replace(/^\s+/, '').split(/\n[ \t]*\n/);
  return {
    id,
    author,
    date: seconds === '' ? '' : dateText(seconds, offset),
    subject: subject
      .trim()
      .split(/\s*\n\s*/)
      .join(' '),
    tree: all('tree')[0] ?? '',
    parents: all('parent'),
  };
}

export interface TreeEntry {
  readonly name: string;
  readonly kind: 'folder' | 'file' | 'link' | 'submodule';
  readonly id: string;
}

const MODES: Readonly<Record<string, TreeEntry['kind']>> = {
  '40000': 'folder',
  '120000': 'link',
  '160000': 'submodule',
};

/** The entries of a tree's object; `idBytes` is the length of an id: 20, or 32. */
export function treeEntries(bytes: Buffer, idBytes: number): TreeEntry[] {
  const entries: TreeEntry[] = [];
  for (let at = 0; at < bytes.length; ) {
    const blank = bytes.indexOf(32, at);
    const end = bytes.indexOf(0, blank);
    if (blank === -1 || end === -1) break;
    entries.push({
      name: bytes.subarray(blank + 1, end).toString('utf8'),
      kind: MODES[bytes.subarray(at, blank).toString('latin1')] ?? 'file',
      id: bytes.subarray(end + 1, end + 1 + idBytes).toString('hex'),
    });
    at = end + 1 + idBytes;
  }
  return entries;
}
