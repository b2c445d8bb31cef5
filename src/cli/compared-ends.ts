/** The two ends of a comparison, found from what was typed: folders, revisions, a range, the work tree; and the way between. */
import { statSync } from 'node:fs';
import { resolve } from 'node:path';
import type { SourceFile } from '../journal/files.ts';
import type { Finding } from '../journal/findings.ts';
import { type Commit, commitChanges, type WayStep, wayOf } from '../report/compare/commits.ts';
import { type Journal, journalOf } from '../report/compare/journal-entries.ts';
import { GitFailure, mergeBase, openRepository, type Repository, revisionIn } from './git.ts';
import { readFolder } from './journal-files.ts';
import { type StoredJournal, StoredJournals } from './stored-journals.ts';

/** A journal that was read, wherever it lay. */
export interface ReadEnd {
  readonly kind: 'folder' | 'revision' | 'work tree';
  readonly name: string;
  readonly commit: Commit | undefined;
  readonly files: readonly SourceFile[];
  readonly findings: readonly Finding[];
  readonly journal: Journal;
}

export interface Ends {
  readonly before: ReadEnd;
  readonly after: ReadEnd;
  readonly unseen: readonly string[];
  readonly way: readonly WayStep[] | undefined;
}

/** What was typed does not name two journals; the message says why. */
export class NoEnds extends Error {}

/** An end before its journal is read. */
type Named =
  | { readonly kind: 'folder'; readonly path: string }
  | { readonly kind: 'revision'; readonly name: string; readonly id: string }
  | { readonly kind: 'work tree' };

const isFolder = (path: string): boolean => {
  try {
    return path !== '' && statSync(path).isDirectory();
  } catch {
    return false;
  }
};

/** A path nobody takes for a revision. */
const isPath = (text: string): boolean => /^(?:\.{0,2}[\\/]|~|\.{1,2}$|[A-Za-z]:[\\/])/.test(text);

class Finder {
  private readonly journal: string;
  private opened: Repository | GitFailure | undefined;

  constructor(journal: string) {
    this.journal = journal;
  }

  /** The repository around the journal. Throws a `GitFailure` where there is none. */
  repository(): Repository {
    if (this.opened === undefined) {
      try {
        this.opened = openRepository(this.journal);
      } catch (error) {
        if (!(error instanceof GitFailure)) throw error;
        this.opened = error;
      }
    }
    if (this.opened instanceof GitFailure) throw this.opened;
    return this.opened;
  }

  /** The repository where there is one. */
  known(): Repository | undefined {
    try {
      return this.repository();
    } catch (error) {
      if (error instanceof GitFailure) return undefined;
      throw error;
    }
  }

  private revision(name: string): Named | undefined {
    const id = revisionIn(this.repository(), name);
    return id === undefined ? undefined : { kind: 'revision', name, id };
  }

  /** What one word names: a folder, or else a revision. */
  one(text: string): Named | undefined {
    if (!isFolder(text)) return isPath(text) ? undefined : this.revision(text);
    const repository = isPath(text) ? undefined : this.known();
    if (repository !== undefined && revisionIn(repository, text) !== undefined) {
      throw new NoEnds(`${text} is a folder, and a revision too: write ./${text} for the one, ${text}^0 for the other`);
    }
    return { kind: 'folder', path: text };
  }

  /** The two revisions of `A..B`; `A...B` begins where B left A. */
  range(text: string): [Named, Named] | undefined {
    const [, from = '', dots = '', to = ''] = /^(.*?)(\.{2,3})(.*)$/s.exec(text) ?? [];
    if (dots === '' || isPath(text)) return undefined;
    const [before, after] = [this.revision(from || 'HEAD'), this.revision(to || 'HEAD')];
    if (before?.kind !== 'revision' || after?.kind !== 'revision') return undefined;
    if (dots === '..') return [before, after];
    const base = mergeBase(this.repository(), before.id, after.id);
    if (base === undefined) throw new NoEnds(`${text}: the two share no commit here`);
    return [{ kind: 'revision', name: `where ${after.name} left ${before.name}`, id: base }, after];
  }

  none(text: string): NoEnds {
    const place = isPath(text) ? 'is no folder' : 'is neither a folder nor a revision of this repository';
    return new NoEnds(`${text === '' ? 'an empty word' : text} ${place}`);
  }

  /** Both ends, from at most two words. */
  both(first: string | undefined, second: string | undefined): [Named, Named] {
    const one = first ?? 'HEAD';
    const before = this.one(one);
    if (second !== undefined) {
      if (before === undefined) throw this.none(one);
      const after = this.one(second);
      if (after === undefined) throw this.none(second);
      return [before, after];
    }
    if (before?.kind === 'folder') throw new NoEnds(`${one} is a folder: name another one to compare it with`);
    if (before !== undefined) {
      if (this.repository().bare)
        throw new NoEnds('this repository is bare and has no work tree: name two revisions, as v1 v2 or v1..v2');
      return [before, { kind: 'work tree' }];
    }
    const range = this.range(one);
    if (range === undefined) throw this.none(one);
    return range;
  }
}

/** Reads both ends, and where both are of one history every step between them. Throws `NoEnds` or `GitFailure`. */
export async function readEnds(first: string | undefined, second: string | undefined, journal: string): Promise<Ends> {
  const finder = new Finder(journal);
  const [before, after] = finder.both(first, second);
  if (before.kind === 'folder' && after.kind === 'folder') {
    return { before: readAt(before.path, 'folder'), after: readAt(after.path, 'folder'), unseen: [], way: undefined };
  }
  const stored = new StoredJournals(finder.repository());
  try {
    return await new Reading(stored, journal).both(before, after);
  } finally {
    stored.close();
  }
}

function readAt(path: string, kind: 'folder' | 'work tree'): ReadEnd {
  const { files, findings, missing } = readFolder(path);
  if (missing && kind === 'folder') throw new NoEnds(findings.map(({ message }) => message).join('; '));
  const name = kind === 'work tree' ? 'the work tree' : path;
  return { kind, name, commit: undefined, files, findings: missing ? [] : findings, journal: journalOf(files) };
}

interface FoundEnd {
  readonly end: ReadEnd;
  /** The commit it is, for the way between. */
  readonly id: string | undefined;
}

class Reading {
  private readonly stored: StoredJournals;
  private readonly folder: string;
  private readonly unseen: string[] = [];

  constructor(stored: StoredJournals, folder: string) {
    this.stored = stored;
    this.folder = folder;
  }

  async both(before: Named, after: Named): Promise<Ends> {
    const [one, other] = [await this.read(before), await this.read(after)];
    const { repository } = this.stored;
    if (one.end.files.length === 0 && other.end.files.length === 0) {
      const where = repository.prefix === '' ? 'the repository' : repository.prefix;
      throw new NoEnds(
        [
          `neither end has a *.cellar file in ${where}`,
          ...this.unseen,
          'name the folder of the journal: --journal FOLDER',
        ].join('; '),
      );
    }
    if (repository.shallow) {
      this.unseen.push('this clone is shallow: commits before its first ones are not here, nor what they changed');
    }
    const way = await this.way(one, other);
    return { before: one.end, after: other.end, unseen: [...new Set(this.unseen)], way };
  }

  private async read(named: Named): Promise<FoundEnd> {
    if (named.kind === 'folder') return { end: readAt(named.path, 'folder'), id: undefined };
    if (named.kind === 'work tree') {
      if (!isFolder(this.folder))
        this.unseen.push(`${this.folder} is not in the work tree: its journal is taken as empty there`);
      return { end: readAt(this.folder, 'work tree'), id: undefined };
    }
    const { name, id } = named;
    const found = await this.stored.follow(id);
    if (found === undefined) throw new NoEnds(`${name} is no commit and no folder, or it is not in this clone`);
    const commit = 'commit' in found ? found.commit : undefined;
    const read =
      'commit' in found ? await this.stored.journalOf(found.commit) : await this.stored.journalIn(found.tree);
    this.tellUnseen(name, read);
    return {
      end: { kind: 'revision', name, commit, files: read.files, findings: read.findings, journal: read.journal },
      id: commit?.id,
    };
  }

  private tellUnseen(name: string, { there, unseen }: StoredJournal): void {
    for (const one of unseen) this.unseen.push(`${name}: ${one}`);
    if (!there && unseen.length === 0)
      this.unseen.push(`${name} has no folder ${this.stored.repository.prefix}: its journal is taken as empty there`);
  }

  /** The steps between two commits, or between a commit and the work tree; undefined for anything else. */
  private async way(one: FoundEnd, other: FoundEnd): Promise<WayStep[] | undefined> {
    const { repository } = this.stored;
    const inTree =
      other.end.kind === 'work tree' ||
      (other.end.kind === 'folder' && resolve(other.end.name) === resolve(this.folder));
    const until = other.id ?? (inTree && !repository.bare ? revisionIn(repository, 'HEAD') : undefined);
    if (one.id === undefined || until === undefined) return undefined;
    const back = await this.changes(until, one.id);
    const forward = await this.changes(one.id, until);
    if (other.id === undefined) {
      const head = await this.stored.commit(until);
      const journal = head === undefined ? undefined : (await this.stored.journalOf(head)).journal;
      const made = commitChanges({
        commit: undefined,
        parents: journal === undefined ? [] : [journal],
        base: undefined,
        journal: other.end.journal,
        unseen: false,
      });
      if (made.changes.length > 0) forward.push(made);
    }
    return wayOf(back, forward);
  }

  private async changes(without: string, until: string) {
    const all = [];
    for await (const step of this.stored.steps(without, until)) {
      const made = commitChanges(step);
      if (made.changes.length > 0 || made.unseen) all.push(made);
    }
    return all;
  }
}
