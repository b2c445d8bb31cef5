/** What writing and checking a bag of BagIt 1.0 (RFC 8493) share: names of files, manifests and the paths in them. */
import { createHash } from 'node:crypto';
import { closeSync, openSync, readSync } from 'node:fs';

export const DECLARATION = 'BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n';
export const PAYLOAD = 'data/';

/** Checksums by the names manifests have for them, from BagIt 1.0, section 2.4, and those that older bags use. */
export const ALGORITHMS = ['md5', 'sha1', 'sha224', 'sha256', 'sha384', 'sha512'] as const;
export type Algorithm = (typeof ALGORITHMS)[number];

export const isAlgorithm = (name: string): name is Algorithm => (ALGORITHMS as readonly string[]).includes(name);

/** In a manifest the three characters that would break its lines or its own escape are written by their numbers. */
export const encodePath = (path: string): string =>
  path.replaceAll('%', '%25').replaceAll('\n', '%0A').replaceAll('\r', '%0D');

/** The path a manifest means; undefined where a `%` stands for none of the three. */
export function decodePath(path: string): string | undefined {
  if (/%(?!0a|0d|25)/i.test(path)) return undefined;
  return path.replace(/%0a/gi, '\n').replace(/%0d/gi, '\r').replaceAll('%25', '%');
}

/** Names that some systems keep for devices. */
const DEVICE = /^(?:con|prn|aux|nul|com[1-9]|lpt[1-9])(?:\..*)?$/i;

/** Why a path of a manifest may lead out of the bag, or elsewhere on another machine; undefined where it may not. */
export function dangerOf(path: string): string | undefined {
  if (path === '') return 'it is empty';
  if (path.includes('\0')) return 'it has a character that no path can have';
  if (path.startsWith('/')) return 'it begins at the root of a disk';
  if (path.startsWith('~')) return 'it begins in the folder of a user';
  if (/^[a-z]:/i.test(path)) return 'it begins with the letter of a drive';
  if (path.includes('\\')) return 'it has a `\\`, which parts folders on some systems';
  const parts = path.split('/');
  if (parts.includes('..')) return 'it climbs out of its folder with `..`';
  if (parts.includes('.') || parts.includes('')) return 'it has a part that stands for no name';
  return undefined;
}

/** Why a name makes trouble on some systems, though it does no harm here. */
export function troubleOf(path: string): string | undefined {
  for (const part of path.split('/')) {
    if (DEVICE.test(part)) return `\`${part}\` is the name of a device on some systems`;
    if (/[<>:"|?*]/.test(part)) return `\`${part}\` has a character that some systems refuse in names`;
    if (/[. ]$/.test(part)) return `\`${part}\` ends in a dot or a blank, which some systems cut off`;
  }
  return undefined;
}

/** One spelling for names that some disks take for the same. */
export const sameName = (path: string): string => path.normalize('NFC').toLowerCase();

export const digestOf = (bytes: Uint8Array, algorithm: Algorithm): string =>
  createHash(algorithm).update(bytes).digest('hex');

const PIECE = 1 << 20;

/** The length of a file and its checksums, read a piece at a time. Throws what the disk throws. */
export function readDigests(
  path: string | Buffer,
  algorithms: Iterable<Algorithm>,
): { readonly length: number; readonly digests: ReadonlyMap<Algorithm, string> } {
  const hashes = [...algorithms].map((algorithm) => ({ algorithm, hash: createHash(algorithm) }));
  const piece = Buffer.allocUnsafe(PIECE);
  const handle = openSync(path, 'r');
  let length = 0;
  try {
    for (;;) {
      const read = readSync(handle, piece, 0, PIECE, null);
      if (read === 0) break;
      length += read;
      for (const { hash } of hashes) hash.update(piece.subarray(0, read));
    }
  } finally {
    closeSync(handle);
  }
  return { length, digests: new Map(hashes.map(({ algorithm, hash }) => [algorithm, hash.digest('hex')])) };
}
