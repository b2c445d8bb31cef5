/** Writes a bag of BagIt 1.0 (RFC 8493) whole or not at all; the same files give the same bytes. */
import { mkdirSync, mkdtempSync, readdirSync, renameSync, rmdirSync, rmSync, writeFileSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { DECLARATION, digestOf, encodePath, PAYLOAD } from './bag.ts';
import { diskReason } from './replace-file.ts';

export interface BagFile {
  /** Relative to the folder of the payload, with `/`. */
  readonly path: string;
  readonly bytes: Uint8Array;
}

/** What is said about the bag as a whole, in order. The lengths of the payload are added to it. */
export type BagInfo = readonly (readonly [label: string, value: string])[];

/** The longest line a tag file should have. */
const LONGEST = 79;

/** A label and its value; what is too long for a line goes on below it, behind a blank. */
function infoLines(label: string, value: string): string {
  const lines = [`${label}:`];
  for (const word of value.split(/\s+/).filter((part) => part !== '')) {
    const line = lines[lines.length - 1] ?? '';
    if (line.length + 1 + word.length > LONGEST && line.trim() !== `${label}:`) lines.push(` ${word}`);
    else lines[lines.length - 1] = `${line} ${word}`;
  }
  return `${lines.join('\n')}\n`;
}

const byPath = (a: { readonly path: string }, b: { readonly path: string }): number =>
  Buffer.compare(Buffer.from(a.path), Buffer.from(b.path));

const manifest = (files: readonly BagFile[]): string =>
  files.map(({ path, bytes }) => `${digestOf(bytes, 'sha256')}  ${encodePath(path)}\n`).join('');

/** Every file of the bag, by its path from the bag's folder. */
export function bagFiles(payload: readonly BagFile[], info: BagInfo): BagFile[] {
  const data = payload.map(({ path, bytes }) => ({ path: PAYLOAD + path, bytes })).sort(byPath);
  const octets = data.reduce((sum, { bytes }) => sum + bytes.length, 0);
  const told: BagInfo = [...info, ['Payload-Oxum', `${octets}.${data.length}`]];
  const tags = [
    { path: 'bag-info.txt', bytes: Buffer.from(told.map(([label, value]) => infoLines(label, value)).join('')) },
    { path: 'bagit.txt', bytes: Buffer.from(DECLARATION) },
    { path: 'manifest-sha256.txt', bytes: Buffer.from(manifest(data)) },
  ];
  return [...tags, { path: 'tagmanifest-sha256.txt', bytes: Buffer.from(manifest(tags)) }, ...data];
}

/** Why a bag cannot be written here; undefined where there is nothing yet. */
export function refusesBag(folder: string): string | undefined {
  try {
    return readdirSync(folder).length === 0 ? undefined : 'it holds something already; name a new folder';
  } catch (error) {
    const why = diskReason(error);
    if (why === undefined) throw error;
    return error instanceof Error && 'code' in error && error.code === 'ENOENT' ? undefined : why;
  }
}

/**
 * Writes the files beside the folder first and gives them its name last, so that nobody meets half a bag.
 * Throws what the disk throws; nothing is left behind then.
 */
export function writeBag(folder: string, files: readonly BagFile[]): void {
  const to = resolve(folder);
  mkdirSync(dirname(to), { recursive: true });
  const beside = mkdtempSync(join(dirname(to), `.${basename(to)}-`));
  try {
    for (const { path, bytes } of files) {
      const place = join(beside, path);
      mkdirSync(dirname(place), { recursive: true });
      writeFileSync(place, bytes, { flag: 'wx' });
    }
    if (refusesBag(to) === undefined) removeEmpty(to);
    renameSync(beside, to);
  } catch (error) {
    rmSync(beside, { recursive: true, force: true });
    throw error;
  }
}

/** An empty folder of that name would be in the way on some systems. */
function removeEmpty(folder: string): void {
  try {
    rmdirSync(folder);
  } catch (error) {
    if (!(error instanceof Error && 'code' in error && error.code === 'ENOENT')) throw error;
  }
}
