/** Writes a file whole or not at all: beside it first, then in its place. */
import {
  closeSync,
  fchmodSync,
  fchownSync,
  fsyncSync,
  openSync,
  readFileSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';

/** What a failing of the disk says, in words; undefined for an error of another kind. */
export function diskReason(error: unknown): string | undefined {
  const code = error instanceof Error && 'code' in error ? String(error.code) : undefined;
  switch (code) {
    case undefined:
      return undefined;
    case 'ENOENT':
      return 'it is not there';
    case 'EACCES':
    case 'EPERM':
      return 'that is not allowed';
    case 'EROFS':
      return 'the disk can only be read';
    case 'ENOSPC':
      return 'the disk is full';
    case 'ENOTDIR':
      return 'a part of its path is no folder';
    case 'EISDIR':
      return 'it is a folder';
    default:
      return `the disk says ${code}`;
  }
}

/** A folder's own entry is written out as well where the system can do that. */
function syncFolder(folder: string): void {
  let handle: number | undefined;
  try {
    handle = openSync(folder, 'r');
    fsyncSync(handle);
  } catch {
    // some systems cannot open a folder; the file itself is safe by then
  } finally {
    if (handle !== undefined) closeSync(handle);
  }
}

/** Puts bytes at a path by way of a file beside it, so that a reader meets the old ones or the new ones. Throws what the disk throws. */
function putInPlace(path: string, bytes: Uint8Array, like: { mode: number; uid: number; gid: number } | undefined) {
  const beside = join(dirname(path), `.${basename(path)}.${process.pid}.tmp`);
  const handle = openSync(beside, 'wx', 0o666);
  try {
    try {
      writeFileSync(handle, bytes);
      if (like !== undefined) {
        const made = statSync(beside);
        if (made.uid !== like.uid || made.gid !== like.gid) fchownSync(handle, like.uid, like.gid);
        fchmodSync(handle, like.mode & 0o7777);
      }
      fsyncSync(handle);
    } finally {
      closeSync(handle);
    }
    renameSync(beside, path);
  } catch (error) {
    rmSync(beside, { force: true });
    throw error;
  }
  syncFolder(dirname(path));
}

/** Writes a file that may be there or not; one that holds these bytes already is left alone. */
export function writeWhole(path: string, bytes: Uint8Array): 'written' | 'unchanged' {
  let is: Uint8Array | undefined;
  try {
    is = readFileSync(path);
  } catch (error) {
    if (!(error instanceof Error && 'code' in error && error.code === 'ENOENT')) throw error;
  }
  if (is !== undefined && Buffer.compare(is, bytes) === 0) return 'unchanged';
  if (is === undefined) putInPlace(path, bytes, undefined);
  else putInPlace(realpathSync(path), bytes, statSync(path));
  return 'written';
}

/**
 * Puts other bytes in the place of a file, with its owner and permissions; through a symbolic link, in the place of what
 * it leads to. Gives the reason where it is not done: the file may not be written to, or no longer holds what it held.
 */
export function replaceFile(path: string, held: Uint8Array, bytes: Uint8Array): string | undefined {
  try {
    const target = realpathSync(path);
    const stat = statSync(target);
    // renaming would get round a file's own protection
    if ((stat.mode & 0o222) === 0) return 'it is read-only';
    closeSync(openSync(target, 'r+'));
    if (Buffer.compare(readFileSync(target), held) !== 0) return 'it was changed meanwhile';
    putInPlace(target, bytes, stat);
    return undefined;
  } catch (error) {
    const reason = diskReason(error);
    if (reason === undefined) throw error;
    return reason;
  }
}
