/** Asks version control for what a folder alone cannot tell: which days were changed after they were past, and the journal of a bare repository. */

import { type CommitChanges, correctionsInHistory } from '../report/compare/commits.ts';
import { journalOf } from '../report/compare/journal-entries.ts';
import type { PastSeen } from '../report/corrections.ts';
import { GitFailure, openRepository, type Repository, revisionIn } from './git.ts';
import { readFolder } from './journal-files.ts';
import { type StoredJournal, StoredJournals } from './stored-journals.ts';

/** The corrections in the history of a folder, with what is not committed yet; why not, where there is none to read. */
export async function pastOf(folder: string): Promise<PastSeen> {
  try {
    const stored = new StoredJournals(openRepository(folder));
    try {
      return await seenIn(stored, folder);
    } finally {
      stored.close();
    }
  } catch (error) {
    if (!(error instanceof GitFailure)) throw error;
    return { read: false, why: `Version control was not read: ${error.message}.` };
  }
}

/**
 * The journal of the last commit where the repository is bare, so that no folder holds it; `why` where that commit has
 * none. Undefined where there is no bare repository.
 */
export async function journalOfBare(folder: string): Promise<StoredJournal | { readonly why: string } | undefined> {
  let repository: Repository;
  try {
    repository = openRepository(folder);
  } catch (error) {
    if (!(error instanceof GitFailure)) throw error;
    return undefined;
  }
  if (!repository.bare) return undefined;
  const stored = new StoredJournals(repository);
  try {
    const head = revisionIn(repository, 'HEAD');
    const commit = head === undefined ? undefined : await stored.commit(head);
    if (commit === undefined) return { why: 'the repository is bare, and there is no commit of the journal in it yet' };
    const journal = await stored.journalOf(commit);
    if (journal.there) return journal;
    return { why: journal.unseen[0] ?? 'the repository is bare, and its last commit has no such folder' };
  } catch (error) {
    if (!(error instanceof GitFailure)) throw error;
    return { why: error.message };
  } finally {
    stored.close();
  }
}

async function seenIn(stored: StoredJournals, folder: string): Promise<PastSeen> {
  const { repository } = stored;
  const head = revisionIn(repository, 'HEAD');
  if (head === undefined)
    return { read: false, why: 'Version control was not read: there is no commit of the journal yet.' };
  const changes: CommitChanges[] = [];
  // one commit at a time: a long history is not held in memory
  for await (const step of stored.steps(undefined, head)) changes.push(...correctionsInHistory([step]));
  if (!repository.bare) changes.push(...(await inWorkTree(stored, folder, head)));
  return {
    read: true,
    changes,
    unseen: [
      ...(repository.shallow
        ? ['this clone is shallow, so commits before its first ones are not here, nor what they changed']
        : []),
      ...(repository.bare ? ['the repository is bare, so what is not committed yet cannot be there'] : []),
    ],
  };
}

/** What lies in the work tree and is in no commit yet. */
async function inWorkTree(stored: StoredJournals, folder: string, head: string): Promise<CommitChanges[]> {
  const { files, missing } = readFolder(folder);
  const commit = await stored.commit(head);
  if (missing || commit === undefined) return [];
  const { journal: before } = await stored.journalIn(await stored.treeOf(commit));
  return correctionsInHistory([
    { commit: undefined, parents: [before], base: undefined, journal: journalOf(files), unseen: false },
  ]);
}
