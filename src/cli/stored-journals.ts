/** Journals as a repository keeps them: the files of a folder in any commit, and the commits that changed them. */
import type { SourceFile } from '../journal/files.ts';
import type { Finding } from '../journal/findings.ts';
import type { HistoryStep } from '../report/compare/commits.ts';
import { type FileEntries, fileEntries, type Journal } from '../report/compare/journal-entries.ts';
import {
  type CommitObject,
  commitOf,
  commitsBetween,
  mergeBase,
  Objects,
  type Repository,
  type TreeEntry,
  treeEntries,
} from './git.ts';
import { byBytes, EXTENSION, noText, passedOver, textOf } from './journal-files.ts';

/** The journal of a commit. */
export interface StoredJournal {
  readonly files: readonly SourceFile[];
  readonly findings: readonly Finding[];
  readonly journal: Journal;
  /** The folder is there. */
  readonly there: boolean;
  /** What cannot be seen of it, in words. */
  readonly unseen: readonly string[];
}

/** A commit that changed the journal, with what stands in its tree. */
export interface StoredStep extends HistoryStep {
  /** The tree of the journal's folder after it and in its parents; undefined where the folder is not there. */
  readonly tree: string | undefined;
  readonly parentTrees: readonly (string | undefined)[];
}

const NOTHING: StoredJournal = { files: [], findings: [], journal: { files: [] }, there: false, unseen: [] };

/** Characters of files whose entries are kept, so that a file that stands in many commits is read once. */
const KEPT = 8_000_000;

interface KeptFile {
  readonly file: SourceFile;
  readonly not: 'utf-8' | 'utf-16' | 'text' | undefined;
  readonly entries: FileEntries;
}

export class StoredJournals {
  readonly repository: Repository;
  private readonly objects: Objects;
  private readonly kept = new Map<string, KeptFile>();
  private keptSize = 0;
  private readonly trees = new Map<string, readonly TreeEntry[]>();

  constructor(repository: Repository) {
    this.repository = repository;
    this.objects = new Objects(repository);
  }

  close(): void {
    this.objects.close();
  }

  /** The commit or the tree an id leads to, tags followed; undefined for anything else, or where it is not there. */
  async follow(id: string): Promise<{ commit: CommitObject } | { tree: string } | undefined> {
    const object = await this.objects.read(id);
    if (object?.kind === 'commit') return { commit: commitOf(id, object.bytes) };
    if (object?.kind === 'tree') return { tree: id };
    if (object?.kind !== 'tag') return undefined;
    const target = /^object ([0-9a-f]+)$/m.exec(object.bytes.toString('latin1'))?.[1];
    return target === undefined ? undefined : this.follow(target);
  }

  async commit(id: string): Promise<CommitObject | undefined> {
    const object = await this.objects.read(id);
    return object?.kind === 'commit' ? commitOf(id, object.bytes) : undefined;
  }

  private async entriesOf(tree: string): Promise<readonly TreeEntry[]> {
    let entries = this.trees.get(tree);
    if (entries === undefined) {
      const object = await this.objects.read(tree);
      entries = object?.kind === 'tree' ? treeEntries(object.bytes, tree.length / 2) : [];
      this.trees.set(tree, entries);
    }
    return entries;
  }

  /** The journal's folder in the tree of a commit: its tree, or what stands in its place. */
  private async place({ tree }: { readonly tree: string }): Promise<TreeEntry | undefined> {
    let at: TreeEntry = { name: '', kind: 'folder', id: tree };
    for (const name of this.repository.prefix.split('/').filter((part) => part !== '')) {
      if (at.kind !== 'folder') return at;
      const next = (await this.entriesOf(at.id)).find((entry) => entry.name === name);
      if (next === undefined) return undefined;
      at = next;
    }
    return at;
  }

  /** The tree of the journal's folder; undefined where it is not there, or is no folder. */
  async treeOf(commit: CommitObject): Promise<string | undefined> {
    const place = await this.place(commit);
    return place?.kind === 'folder' ? place.id : undefined;
  }

  /** The journal of a commit, with what stands in the place of its folder where that is none. */
  async journalOf(commit: CommitObject): Promise<StoredJournal> {
    const place = await this.place(commit);
    if (place === undefined) return NOTHING;
    if (place.kind === 'folder') return this.journalIn(place.id);
    return { ...NOTHING, unseen: [whatStands(this.repository.prefix, place.kind)] };
  }

  /** The journal of a tree. */
  async journalIn(tree: string | undefined): Promise<StoredJournal> {
    if (tree === undefined) return NOTHING;
    const found: { path: string; id: string }[] = [];
    const unseen: string[] = [];
    await this.walk(tree, '', found, unseen);
    found.sort((a, b) => byBytes(a.path, b.path));
    // all are asked for at once
    const kept = await Promise.all(found.map(({ path, id }) => this.file(path, id)));
    const files: SourceFile[] = [];
    const findings: Finding[] = [];
    const entries: FileEntries[] = [];
    for (const [i, one] of kept.entries()) {
      if (one === undefined) {
        unseen.push(`${found[i]?.path ?? ''} is not in this clone: nothing of it is read`);
        continue;
      }
      if (one.not !== undefined) findings.push(noText(one.file.path, one.not, files.length));
      files.push(one.file);
      entries.push(one.entries);
    }
    return { files, findings, journal: { files: entries }, there: true, unseen };
  }

  private async walk(
    tree: string,
    below: string,
    found: { path: string; id: string }[],
    unseen: string[],
  ): Promise<void> {
    for (const { name, kind, id } of await this.entriesOf(tree)) {
      if (passedOver(name)) continue;
      const path = below === '' ? name : `${below}/${name}`;
      if (kind === 'folder') await this.walk(id, path, found, unseen);
      else if (kind === 'submodule') unseen.push(whatStands(path, kind));
      else if (!name.endsWith(EXTENSION)) continue;
      else if (kind === 'link') unseen.push(whatStands(path, kind));
      else found.push({ path, id });
    }
  }

  private async file(path: string, id: string): Promise<KeptFile | undefined> {
    const key = `${id} ${path}`;
    const known = this.kept.get(key);
    if (known !== undefined) {
      // the last that were asked for are kept
      this.kept.delete(key);
      this.kept.set(key, known);
      return known;
    }
    const object = await this.objects.read(id);
    if (object?.kind !== 'blob') return undefined;
    const read = textOf(object.bytes);
    const file: SourceFile = { path, text: 'text' in read ? read.text : '' };
    const kept = { file, not: 'not' in read ? read.not : undefined, entries: fileEntries(file) };
    this.kept.set(key, kept);
    this.keptSize += file.text.length;
    for (const [oldest, { file: old }] of this.kept) {
      if (this.keptSize <= KEPT || oldest === key) break;
      this.kept.delete(oldest);
      this.keptSize -= old.text.length;
    }
    return kept;
  }

  /** The commits that one has and another has not and that changed the journal, the oldest first, each as its turn comes. */
  async *steps(without: string | undefined, until: string): AsyncGenerator<StoredStep, void, undefined> {
    for (const id of commitsBetween(this.repository, without, until)) {
      const step = await this.step(id);
      if (step !== undefined) yield step;
    }
  }

  /** A commit as a step of the journal; undefined where it left the journal as it was in every parent. */
  async step(id: string): Promise<StoredStep | undefined> {
    const commit = await this.commit(id);
    if (commit === undefined) return undefined;
    const parents = await Promise.all(commit.parents.map((parent) => this.commit(parent)));
    const tree = await this.treeOf(commit);
    const known = parents.flatMap((parent) => parent ?? []);
    const parentTrees = await Promise.all(known.map((parent) => this.treeOf(parent)));
    const unseen = known.length < parents.length;
    if (!unseen && parentTrees.every((other) => other === tree) && (parents.length > 0 || tree === undefined))
      return undefined;
    const [one, other, third] = known;
    const base =
      one === undefined || other === undefined || third !== undefined
        ? undefined
        : mergeBase(this.repository, one.id, other.id);
    const baseCommit = base === undefined ? undefined : await this.commit(base);
    return {
      commit,
      tree,
      parentTrees,
      unseen,
      journal: (await this.journalIn(tree)).journal,
      parents: await Promise.all(parentTrees.map(async (parent) => (await this.journalIn(parent)).journal)),
      base: baseCommit === undefined ? undefined : (await this.journalIn(await this.treeOf(baseCommit))).journal,
    };
  }
}

function whatStands(path: string, kind: TreeEntry['kind']): string {
  switch (kind) {
    case 'submodule':
      return `${path} is a submodule: its files are kept in another repository, and nothing of it is read`;
    case 'link':
      return `${path} is a symbolic link: in a revision it is not followed`;
    default:
      return `${path} is a file, and no folder`;
  }
}
