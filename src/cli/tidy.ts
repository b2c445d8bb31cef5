/** `ullage tidy FOLDER|FILE...`: writes journal files in their tidy form. */
import { isUtf8 } from 'node:buffer';
import { readFileSync, realpathSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { firstDifference } from '../../grammar/same-reading.ts';
import { tidy as tidyText } from '../../grammar/tidy.ts';
import type { SourceFile } from '../journal/files.ts';
import { firstOtherEvent } from '../journal/same-events.ts';
import { spellingOf } from '../journal/spelling.ts';
import { EXTENSION, readFolder } from './journal-files.ts';
import { lineChanges } from './line-changes.ts';
import { diskReason, replaceFile } from './replace-file.ts';
import { painter, showFinding, visible } from './show.ts';

export interface TidyOptions {
  /** Say what would change, and write nothing. */
  readonly check: boolean;
  /** Show the changes line by line, and write nothing. */
  readonly diff: boolean;
}

/** Files that are read together; the names one of them gives hold in all. `path` leads to the file from here. */
interface Journal {
  readonly files: readonly SourceFile[];
  /** Reasons why a file or the folder was not read. */
  readonly refused: readonly string[];
}

interface Change extends SourceFile {
  readonly after: string;
}

function readFile(path: string): SourceFile | { readonly why: string } {
  if (!path.endsWith(EXTENSION)) return { why: `it is no journal file (*${EXTENSION})` };
  try {
    const bytes = readFileSync(path);
    return isUtf8(bytes) ? { path, text: bytes.toString('utf8') } : { why: 'it is not UTF-8 text' };
  } catch (error) {
    const why = diskReason(error);
    if (why === undefined) throw error;
    return { why };
  }
}

function isFolder(path: string): boolean {
  try {
    return statSync(path).isDirectory();
  } catch {
    return false;
  }
}

function readJournal(folder: string): Journal {
  const { files, findings } = readFolder(folder);
  const paint = painter(process.stderr);
  return {
    files: files.map(({ path, text }) => ({ path: join(folder, path), text })),
    refused: findings.map((finding) => showFinding(finding, files, paint)),
  };
}

/** A journal for every folder, and one of all the files that are named one by one. */
function readAll(paths: readonly string[]): Journal[] {
  const folders = paths.filter(isFolder);
  const read = paths.filter((path) => !folders.includes(path)).map((path) => ({ path, read: readFile(path) }));
  const single: Journal = {
    files: read.flatMap(({ read: one }) => ('text' in one ? [one] : [])),
    refused: read.flatMap(({ path, read: one }) => ('why' in one ? [`${visible(path)} was not read: ${one.why}`] : [])),
  };
  return [...folders.map(readJournal), single];
}

const mustNot = (path: string, why: string): string =>
  `${visible(path)} was left as it is: ${visible(why)}. Please report this.`;

/** The files that tidy changes. One that would say something else afterwards is not among them, and a message says so. */
function changesOf(files: readonly SourceFile[]): { changes: Change[]; refused: string[]; left: number } {
  const spelling = spellingOf(files);
  const refused: string[] = [];
  let left = 0;
  const changes = files.flatMap((file): Change[] => {
    const tidied = tidyText(file.text, spelling);
    left += tidied.left;
    if (tidied.text === file.text) return [];
    const line = firstDifference(file.text, tidied.text);
    if (line === undefined) return [{ ...file, after: tidied.text }];
    refused.push(mustNot(file.path, `line ${line} would say something else`));
    return [];
  });
  const withChanges = (some: readonly Change[]): SourceFile[] => {
    const texts = new Map(some.map(({ path, after }) => [path, after]));
    return files.map(({ path, text }) => ({ path, text: texts.get(path) ?? text }));
  };
  const otherEvent = (some: readonly Change[]): string | undefined => {
    const place = firstOtherEvent(files, withChanges(some));
    return place === undefined ? undefined : `${files[place.file]?.path ?? ''}:${place.line}`;
  };
  if (otherEvent(changes) === undefined) return { changes, refused, left };
  // some of them change what happened: each is tried alone
  const harmless = changes.filter((change) => {
    const other = otherEvent([change]);
    if (other !== undefined) refused.push(mustNot(change.path, `${other} would come to something else`));
    return other === undefined;
  });
  const together = otherEvent(harmless);
  if (together === undefined) return { changes: harmless, refused, left };
  refused.push(...harmless.map(({ path }) => mustNot(path, `${together} would come to something else`)));
  return { changes: [], refused, left };
}

/** Each file once, though it may be reached by two paths. */
function once(journals: readonly Journal[]): Journal[] {
  const seen = new Set<string>();
  return journals.map((journal) => ({
    ...journal,
    files: journal.files.filter(({ path }) => {
      let real = path;
      try {
        real = realpathSync(path);
      } catch {
        // a link that leads nowhere was told of when it was read
      }
      if (seen.has(real)) return false;
      seen.add(real);
      return true;
    }),
  }));
}

/** 0 all is tidy, or was made so; 1 with `check`, something would change; 2 something could not be read or written. */
export function tidy(paths: readonly string[], options: TidyOptions): number {
  const write = !options.check && !options.diff;
  const journals = once(readAll(paths));
  const refused = journals.flatMap((journal) => journal.refused);
  const lines: string[] = [];
  let changed = 0;
  let left = 0;
  for (const { files } of journals) {
    const found = changesOf(files);
    refused.push(...found.refused);
    left += found.left;
    for (const { path, text, after } of found.changes) {
      const why = write ? replaceFile(path, Buffer.from(text), Buffer.from(after)) : undefined;
      if (why !== undefined) {
        refused.push(`${visible(path)} was not written: ${why}`);
        continue;
      }
      changed++;
      if (options.diff) lines.push(...lineChanges(path, text, after));
      else lines.push(`${write ? 'tidied' : 'would change'} ${visible(path)}`);
    }
  }
  const all = journals.reduce((sum, { files }) => sum + files.length, 0);
  const said = `${changed} of ${all} file${all === 1 ? '' : 's'} ${write ? 'tidied' : 'would change'}`;
  const unread = left === 0 ? '' : `; ${left} line${left === 1 ? '' : 's'} left as written, as \`ullage check\` tells`;
  // a diff is for a program to read: what is said about it goes elsewhere
  if (lines.length > 0) process.stdout.write(`${lines.join('\n')}\n`);
  (options.diff ? process.stderr : process.stdout).write(`${said}${unread}\n`);
  for (const line of refused) process.stderr.write(`${line}\n`);
  if (refused.length > 0) return 2;
  return options.check && changed > 0 ? 1 : 0;
}
