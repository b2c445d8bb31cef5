/** Checks a bag of BagIt 1.0 (RFC 8493): what is missing, changed, too many, or leads astray, in plain words. */
import { isUtf8 } from 'node:buffer';
import { type Dirent, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { type Algorithm, dangerOf, decodePath, isAlgorithm, PAYLOAD, readDigests, sameName, troubleOf } from './bag.ts';
import { diskReason } from './replace-file.ts';
import { visible } from './show.ts';

export interface BagProblem {
  /** False for what should be known, though the bag is whole. */
  readonly breaks: boolean;
  readonly message: string;
}

export interface VerifiedBag {
  /** The folder itself could not be read: nothing was checked. */
  readonly unread: string | undefined;
  readonly problems: readonly BagProblem[];
  /** Files of the payload that were found as they were listed. */
  readonly intact: number;
}

interface Entry {
  readonly path: string;
  readonly digest: string;
  readonly line: number;
}

interface Manifest {
  readonly name: string;
  readonly algorithm: Algorithm;
  readonly tags: boolean;
  readonly entries: readonly Entry[];
}

const MANIFEST = /^(tag)?manifest-([a-z0-9]+)\.txt$/;

export function verifyBag(folder: string): VerifiedBag {
  const problems: BagProblem[] = [];
  const broken = (message: string): void => {
    problems.push({ breaks: true, message });
  };
  const note = (message: string): void => {
    problems.push({ breaks: false, message });
  };
  try {
    if (!statSync(folder).isDirectory()) return { unread: 'it is no folder', problems, intact: 0 };
    readdirSync(folder);
  } catch (error) {
    const why = diskReason(error);
    if (why === undefined) throw error;
    return { unread: why, problems, intact: 0 };
  }

  const found = new Map<string, string | Buffer>();
  walk(Buffer.from(folder), '', found, broken);
  if (![...found.keys()].some((path) => path.startsWith(PAYLOAD)) && !isFolder(join(folder, PAYLOAD)))
    broken('the folder `data` is missing: a bag keeps there what it holds');
  checkDeclaration(folder, found, broken);
  if (found.has('fetch.txt'))
    broken('there is a `fetch.txt`: part of the bag lies elsewhere, and nothing is fetched here; it is not whole');

  const manifests: Manifest[] = [];
  for (const name of found.keys()) {
    const [, tag, algorithm = ''] = MANIFEST.exec(name) ?? [];
    if (algorithm === '') {
      if (/^(?:tag)?manifest-.*\.txt$/i.test(name)) broken(`\`${visible(name)}\` is no name of a manifest`);
      continue;
    }
    if (!isAlgorithm(algorithm)) {
      broken(`\`${name}\` has checksums of a kind that is not known here; nothing in it was checked`);
      continue;
    }
    const entries = readManifest(join(folder, name), name, tag === 'tag', broken);
    manifests.push({ name, algorithm, tags: tag === 'tag', entries });
  }
  if (!manifests.some(({ tags }) => !tags))
    broken('there is no list of checksums that can be read (manifest-sha256.txt)');

  const intact = checkFiles(manifests, found, broken, note);
  checkInfo(folder, found, broken, note);
  checkNames([...found.keys()], note);
  return { unread: undefined, problems, intact };
}

function isFolder(path: string): boolean {
  try {
    return statSync(path).isDirectory();
  } catch {
    return false;
  }
}

/** Every file below a folder by its path with `/`. Names are read as bytes, for not all of them are text. */
function walk(
  folder: Buffer,
  below: string,
  found: Map<string, string | Buffer>,
  broken: (message: string) => void,
): void {
  let entries: Dirent<Buffer>[];
  try {
    entries = readdirSync(folder, { withFileTypes: true, encoding: 'buffer' });
  } catch (error) {
    const why = diskReason(error);
    if (why === undefined) throw error;
    broken(`the folder \`${visible(below)}\` was not read: ${why}`);
    return;
  }
  entries.sort((a, b) => Buffer.compare(a.name, b.name));
  for (const entry of entries) {
    const path = below + entry.name.toString('utf8');
    const place = Buffer.concat([folder, Buffer.from('/'), entry.name]);
    if (!isUtf8(entry.name)) broken(`the name of \`${visible(path)}\` is not UTF-8 text: it cannot be in a list`);
    else if (entry.isDirectory()) walk(place, `${path}/`, found, broken);
    else if (entry.isSymbolicLink()) broken(`\`${visible(path)}\` is a link: what it leads to is not in the bag`);
    else if (!entry.isFile()) broken(`\`${visible(path)}\` is neither a file nor a folder`);
    else found.set(path, place);
  }
}

function textOf(path: string, name: string, broken: (message: string) => void): string | undefined {
  try {
    const bytes = readFileSync(path);
    if (isUtf8(bytes)) return bytes.toString('utf8');
    broken(`\`${name}\` is not UTF-8 text`);
  } catch (error) {
    const why = diskReason(error);
    if (why === undefined) throw error;
    broken(`\`${name}\` was not read: ${why}`);
  }
  return undefined;
}

function checkDeclaration(
  folder: string,
  found: ReadonlyMap<string, unknown>,
  broken: (message: string) => void,
): void {
  if (!found.has('bagit.txt')) {
    broken('`bagit.txt` is missing: without it this is no bag');
    return;
  }
  const text = textOf(join(folder, 'bagit.txt'), 'bagit.txt', broken);
  if (text === undefined) return;
  if (text.startsWith('\ufeff')) broken('`bagit.txt` begins with a byte-order mark, which must not stand there');
  const [, version] = /^\ufeff?BagIt-Version: (\d+\.\d+)[\r\n]/.exec(text) ?? [];
  if (version !== undefined && version !== '1.0') {
    broken(`the bag is of BagIt ${version}; bags of 1.0 are checked here`);
    return;
  }
  if (!/^\ufeff?BagIt-Version: 1\.0(?:\r\n?|\n)Tag-File-Character-Encoding: UTF-8(?:\r\n?|\n)?$/.test(text)) {
    broken(
      /Tag-File-Character-Encoding: (?!UTF-8)/.test(text)
        ? '`bagit.txt` names another encoding than UTF-8'
        : '`bagit.txt` must hold two lines, `BagIt-Version: 1.0` and `Tag-File-Character-Encoding: UTF-8`, and nothing else',
    );
  }
}

function readManifest(path: string, name: string, tags: boolean, broken: (message: string) => void): Entry[] {
  const text = textOf(path, name, broken);
  if (text === undefined) return [];
  const entries: Entry[] = [];
  const seen = new Set<string>();
  for (const [i, line] of text.split(/\r\n|\r|\n/).entries()) {
    if (line === '') continue;
    const at = `line ${i + 1} of \`${name}\``;
    const [, digest, written] = /^([0-9a-fA-F]+)[ \t]+\*?(.*)$/s.exec(line) ?? [];
    if (digest === undefined || written === undefined) {
      broken(`${at} is not a checksum and a path`);
      continue;
    }
    const listed = decodePath(written);
    const shown = visible(written);
    if (listed === undefined) {
      broken(`${at}: \`${shown}\` has a \`%\` that stands for no character; only %0A, %0D and %25 may stand there`);
      continue;
    }
    const danger = dangerOf(listed);
    if (danger !== undefined) {
      broken(`${at}: the path \`${shown}\` is not followed: ${danger}`);
      continue;
    }
    if (tags === listed.startsWith(PAYLOAD) || (tags && /^tagmanifest-/.test(listed))) {
      broken(`${at}: \`${shown}\` must not be listed there`);
      continue;
    }
    if (seen.has(listed)) {
      broken(`${at}: \`${shown}\` is listed twice`);
      continue;
    }
    seen.add(listed);
    entries.push({ path: listed, digest: digest.toLowerCase(), line: i + 1 });
  }
  return entries;
}

/** Holds every list against the files; gives how many files of the payload are as listed. */
function checkFiles(
  manifests: readonly Manifest[],
  found: ReadonlyMap<string, string | Buffer>,
  broken: (message: string) => void,
  note: (message: string) => void,
): number {
  const bySpelling = new Map([...found.keys()].map((path) => [path.normalize('NFC'), path]));
  const listed = new Map<string, Map<Algorithm, string>>();
  const missing = new Set<string>();
  for (const { algorithm, entries } of manifests) {
    for (const { path, digest } of entries) {
      const there = found.has(path) ? path : bySpelling.get(path.normalize('NFC'));
      if (there === undefined) missing.add(path);
      else {
        if (there !== path) note(`\`${visible(path)}\` is spelt in another form of Unicode on this disk`);
        const known = listed.get(there) ?? new Map<Algorithm, string>();
        known.set(algorithm, digest);
        listed.set(there, known);
      }
    }
  }
  for (const path of missing) broken(`\`${visible(path)}\` is missing: it is listed, and not there`);

  let intact = 0;
  for (const [path, place] of found) {
    const payload = path.startsWith(PAYLOAD);
    const digests = listed.get(path);
    if (payload) {
      const lacking = manifests.filter(({ tags, algorithm }) => !tags && digests?.has(algorithm) !== true);
      if (digests === undefined) {
        broken(`\`${visible(path)}\` is too much: it is there, and in no list`);
        continue;
      }
      for (const { name } of lacking) broken(`\`${visible(path)}\` is not listed in \`${name}\``);
    } else if (digests === undefined) {
      if (!MANIFEST.test(path) || /^manifest-/.test(path))
        note(`\`${visible(path)}\` is in no list: nothing tells whether it was changed`);
      continue;
    }
    try {
      const read = readDigests(place, digests.keys());
      const changed = [...digests].some(([algorithm, digest]) => read.digests.get(algorithm) !== digest);
      if (changed) broken(`\`${visible(path)}\` was changed: its checksum is not the listed one`);
      else if (payload) intact++;
    } catch (error) {
      const why = diskReason(error);
      if (why === undefined) throw error;
      broken(`\`${visible(path)}\` was not read: ${why}`);
    }
  }
  return intact;
}

function checkInfo(
  folder: string,
  found: ReadonlyMap<string, string | Buffer>,
  broken: (message: string) => void,
  note: (message: string) => void,
): void {
  if (!found.has('bag-info.txt')) {
    note('there is no `bag-info.txt`: nothing tells what the bag is');
    return;
  }
  const text = textOf(join(folder, 'bag-info.txt'), 'bag-info.txt', broken);
  if (text === undefined) return;
  const sums: string[] = [];
  for (const [i, line] of text.split(/\r\n|\r|\n/).entries()) {
    if (line === '' || (i > 0 && /^[ \t]/.test(line))) continue;
    const [, label, value] = /^([^:\s][^:]*?)[ \t]*:[ \t]*(.*)$/s.exec(line) ?? [];
    if (label === undefined || value === undefined) broken(`line ${i + 1} of \`bag-info.txt\` is no label and value`);
    else if (label.toLowerCase() === 'payload-oxum') sums.push(value.trim());
  }
  if (sums.length > 1) broken('`bag-info.txt` says more than once how much the bag holds (Payload-Oxum)');
  const [said] = sums;
  if (said === undefined) return;
  const payload = [...found].filter(([path]) => path.startsWith(PAYLOAD));
  let octets = 0;
  for (const [, place] of payload) octets += statSync(place, { throwIfNoEntry: false })?.size ?? 0;
  const is = `${octets}.${payload.length}`;
  if (said !== is)
    broken(
      `\`bag-info.txt\` tells of another amount than there is (Payload-Oxum: ${visible(said)}, and ${octets} bytes in ${payload.length} files are there)`,
    );
}

/** Names that another disk would refuse, or take for one another. */
function checkNames(paths: readonly string[], note: (message: string) => void): void {
  const spelt = new Map<string, string>();
  for (const path of paths) {
    const trouble = troubleOf(path);
    if (trouble !== undefined) note(trouble);
    const twin = spelt.get(sameName(path));
    if (twin !== undefined) note(`\`${visible(twin)}\` and \`${visible(path)}\` are the same name on some systems`);
    else spelt.set(sameName(path), path);
  }
}
