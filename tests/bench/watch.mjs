/**
 * How long a page waits after a save: the program watches a journal of twenty vintages and more, a file is saved, and the
 * time until the last changed page is on the disk is held against a bare script that reads the file and writes as much.
 */
import { spawn, spawnSync } from 'node:child_process';
import { mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { generateJournal } from './generate.mjs';

const LINES = 200_000;
/** Nothing written for so long after a save: it is over. */
const QUIET_MS = 1500;
const LONGEST_MS = 120_000;

/** Reads the file named first and writes so many bytes to so many files, each through another name as the program does. */
const BARE = `
import { readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
const [file, out, list] = process.argv.slice(1);
readFileSync(file, 'utf8');
for (const [i, size] of JSON.parse(readFileSync(list, 'utf8')).entries()) {
  const to = join(out, i + '.html');
  writeFileSync(to + '.part', 'x'.repeat(size));
  renameSync(to + '.part', to);
}
`;

const wait = (ms) => new Promise((done) => setTimeout(done, ms));
const median = (numbers) => [...numbers].sort((a, b) => a - b)[Math.floor(numbers.length / 2)];

/** Every file of the site and when it was last written. */
function pagesOf(out) {
  const pages = new Map();
  for (const entry of readdirSync(out, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile() || entry.name.startsWith('.')) continue;
    const path = join(entry.parentPath, entry.name);
    const { mtimeMs, size } = statSync(path);
    pages.set(path, { mtimeMs, size });
  }
  return pages;
}

/** What was written since `start`, once nothing more is: how many pages of what size, and how long the last one took. */
async function settled(out, start) {
  for (;;) {
    await wait(QUIET_MS);
    const now = Date.now();
    const written = [...pagesOf(out).values()].filter(({ mtimeMs }) => mtimeMs >= start);
    const last = Math.max(start, ...written.map(({ mtimeMs }) => mtimeMs));
    if (written.length > 0 && now - last > QUIET_MS)
      return { milliseconds: last - start, sizes: written.map(({ size }) => size) };
    if (now - start > LONGEST_MS) throw new Error('no page was written after a save');
  }
}

/** The last line in a text that writes a dip, with its place. */
function lastDip(text) {
  const found = [...text.matchAll(/^(\d\d:\d\d) dip (\S+) (\d+) L/gmu)].at(-1);
  if (found === undefined) throw new Error('the journal has no dip');
  return found;
}

export async function measureWatch(program, folder, rounds) {
  const journal = join(folder, 'journal');
  const out = join(folder, 'site');
  const bare = join(folder, 'bare');
  mkdirSync(bare, { recursive: true });
  const { files } = generateJournal(LINES);
  for (const { path, text } of files) {
    mkdirSync(dirname(join(journal, path)), { recursive: true });
    writeFileSync(join(journal, path), text);
  }
  const months = files
    .map(({ path }) => path)
    .filter((path) => /^\d{4}\//u.test(path))
    .sort();
  const withDip = months.filter((path) => / dip \S+ \d+ L/u.test(files.find((file) => file.path === path)?.text ?? ''));
  const newest = withDip.at(-1);
  const old = withDip[Math.floor(withDip.length / 2)];

  const watching = spawn(process.execPath, [program, 'watch', journal, '--out', out, '--port', '0'], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  try {
    await new Promise((ready, failed) => {
      let said = '';
      watching.stdout.on('data', (data) => {
        said += data;
        if (said.includes('shows it')) ready();
      });
      watching.once('exit', () => failed(new Error('the watch ended')));
    });
    await wait(3000);
    const edits = {
      'a figure of the newest day': (round) =>
        change(newest, (text) => {
          const dip = lastDip(text);
          return (
            text.slice(0, dip.index) +
            dip[0].replace(/(\d+) L$/u, (_, litres) => `${Number(litres) - 1 - (round % 2)} L`) +
            text.slice(dip.index + dip[0].length)
          );
        }),
      'a note on the newest day': (round) =>
        change(newest, (text) => `${text.trimEnd()}\n    | Looked at again, ${round}.\n`),
      'a figure of ten years ago': (round) =>
        change(old, (text) => {
          const dip = lastDip(text);
          return (
            text.slice(0, dip.index) +
            dip[0].replace(/(\d+) L$/u, (_, litres) => `${Number(litres) - 1 + (round % 2) * 2} L`) +
            text.slice(dip.index + dip[0].length)
          );
        }),
    };
    function change(path, edit) {
      const file = join(journal, path);
      const text = edit(readFileSync(file, 'utf8'));
      const start = Date.now();
      writeFileSync(file, text);
      return { file, start };
    }
    const result = {};
    for (const [name, edit] of Object.entries(edits)) {
      const all = [];
      for (let round = 0; round < rounds; round++) {
        const { file, start } = edit(round);
        const { milliseconds, sizes } = await settled(out, start);
        const list = join(folder, 'sizes.json');
        writeFileSync(list, JSON.stringify(sizes));
        const begun = performance.now();
        const done = spawnSync(process.execPath, ['--input-type=module', '-e', BARE, file, bare, list], {
          encoding: 'utf8',
        });
        if (done.status !== 0) throw new Error(done.stderr);
        all.push({ milliseconds, pages: sizes.length, bare: performance.now() - begun });
      }
      result[name] = {
        pages: median(all.map(({ pages }) => pages)),
        milliseconds: median(all.map(({ milliseconds }) => milliseconds)),
        bareMilliseconds: median(all.map(({ bare: ms }) => ms)),
        ratio: median(all.map((one) => one.milliseconds / one.bare)),
      };
    }
    return { lines: LINES, pages: pagesOf(out).size, edits: result };
  } finally {
    watching.kill('SIGTERM');
    await new Promise((done) => watching.once('exit', done));
  }
}
