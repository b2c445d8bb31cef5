/**
 * Measures the program against what the machine itself needs: `npm run bench`, `-- --sizes 10000,100000`, `-- --json`,
 * `-- --rounds 1`; `-- --editor` measures how long an editor waits instead, `-- --watch` how long a page does. Every measurement is a process of its own; only ratios within one run mean anything.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { build } from 'esbuild';
import { generateJournal } from './generate.mjs';
import { measureWatch } from './watch.mjs';

const HERE = dirname(fileURLToPath(import.meta.url));
const PROGRAM = join(HERE, '../../dist/ullage.js');
const HEAP = '--max-old-space-size=12000';
const START_RUNS = 15;
/** What is aimed at, printed beside what was measured. */
const MARKS = { jsonRatioAtMillion: 3, growth: 1.05, startRatio: 3, editorMilliseconds: 50, watchRatio: 2 };

const ONE_DAY = `vessel T1..T4 tank 1200 L
block ledge-2 Syrah region "Lower Teal"

2026-09-14 Mon
07:00 receive LS from ledge-2, net 1540 kg
07:30 sort LS, out 24 kg
08:30 crush LS to T1..T2 ~680 L each, destemmed, stems 60 kg
09:00 readings brix, temp C
      T1   24.4   16.0
      T2   24.5   16.5
`;

const { values: options } = parseArgs({
  options: {
    sizes: { type: 'string', default: '10000,100000,1000000' },
    rounds: { type: 'string', default: '3' },
    json: { type: 'boolean', default: false },
    editor: { type: 'boolean', default: false },
    watch: { type: 'boolean', default: false },
  },
});
const sizes = options.sizes.split(',').map(Number);
const rounds = Number(options.rounds);
if (sizes.some((size) => !(size > 0)) || !(rounds > 0)) {
  process.stderr.write('--sizes takes numbers of lines with commas between, --rounds a number\n');
  process.exit(2);
}
if (!existsSync(PROGRAM)) {
  process.stderr.write('there is no dist/ullage.js: npm run bundle makes it\n');
  process.exit(2);
}

const median = (numbers) => {
  const sorted = [...numbers].sort((a, b) => a - b);
  const middle = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
};

const folder = mkdtempSync(join(tmpdir(), 'ullage-bench-'));
process.on('exit', () => rmSync(folder, { recursive: true, force: true }));

function run(args) {
  const done = spawnSync(process.execPath, args, { encoding: 'utf8', maxBuffer: 1 << 26 });
  if (done.status !== 0) throw new Error(`node ${args.join(' ')}: ${done.stderr.slice(-2000)}`);
  return done.stdout;
}

async function bundled(name) {
  const outfile = join(folder, `${name}.mjs`);
  await build({
    entryPoints: [join(HERE, `${name}.ts`)],
    outfile,
    bundle: true,
    format: 'esm',
    platform: 'node',
    target: 'node20.19',
    minify: true,
    logLevel: 'warning',
  });
  return outfile;
}

if (options.editor) {
  sayEditor(JSON.parse(run([await bundled('editor'), PROGRAM])));
  process.exit();
}

/** Milliseconds from an edit to its answer: the median, and the worst in brackets. */
function sayEditor(result) {
  if (options.json) {
    process.stdout.write(`${JSON.stringify({ node: process.version, editor: result, marks: MARKS }, null, 2)}\n`);
    return;
  }
  for (const [where, said] of Object.entries(result)) {
    const { lines, 'lines of the open file': open, opened, ...times } = said;
    process.stdout.write(`${where}: ${lines} lines, ${open} of them in the open file, opened in ${opened} ms\n`);
    for (const [what, { median: middle, worst }] of Object.entries(times))
      process.stdout.write(`  ${what.padEnd(20)} ${middle.toFixed(1)} ms (${worst.toFixed(1)} ms)\n`);
    process.stdout.write(`  mark: at most ${MARKS.editorMilliseconds} ms in the median\n\n`);
  }
}

if (options.watch) {
  sayWatch(await measureWatch(PROGRAM, join(folder, 'watch'), rounds));
  process.exit();
}

function sayWatch(result) {
  if (options.json) {
    process.stdout.write(`${JSON.stringify({ node: process.version, watch: result, marks: MARKS }, null, 2)}\n`);
    return;
  }
  process.stdout.write(
    `${result.lines} lines, ${result.pages} pages; from a save to the last changed page on the disk\n`,
  );
  for (const [what, { pages, milliseconds, bareMilliseconds, ratio }] of Object.entries(result.edits))
    process.stdout.write(
      `  ${what.padEnd(28)} ${pages} pages in ${milliseconds.toFixed(0)} ms, a bare script ${bareMilliseconds.toFixed(0)} ms: ${ratio.toFixed(1)} times\n`,
    );
  process.stdout.write(`  mark: at most ${MARKS.watchRatio} times\n`);
}

const worker = await bundled('worker');

const measure = (mode, place) => JSON.parse(run([HEAP, worker, mode, place]));

function medians(mode, all) {
  const of = (name) => median(all.map((one) => one[mode][name]));
  return { seconds: of('seconds'), processorSeconds: of('processorSeconds'), peakMegabytes: of('peakMegabytes') };
}

function measureSize(size) {
  const place = join(folder, String(size));
  const { files } = generateJournal(size);
  for (const { path, text } of files) {
    const to = join(place, 'journal', path);
    mkdirSync(dirname(to), { recursive: true });
    writeFileSync(to, text);
  }
  const bytes = files.reduce((sum, { text }) => sum + Buffer.byteLength(text), 0);
  const events = measure('events', place);
  if (events.failed > 0) throw new Error(`${events.failed} findings while the events of ${size} lines were read`);
  // the longest size is measured once less often: a run of it is long enough to even itself out
  const times = size >= 1_000_000 ? Math.min(rounds, 2) : rounds;
  const all = [];
  for (let round = 0; round < times; round++) {
    const one = {};
    for (const mode of ['read', 'json', 'check']) one[mode] = measure(mode, place);
    if (one.check.findings > 0) throw new Error(`${one.check.findings} findings in a journal that should check clean`);
    if (one.json.events !== events.events) throw new Error('the events read back are not those written');
    all.push(one);
  }
  rmSync(place, { recursive: true, force: true });
  const check = medians('check', all);
  const json = medians('json', all);
  const read = medians('read', all);
  return {
    size,
    lines: all[0].check.entries,
    events: events.events,
    files: files.length,
    bytes,
    check,
    json,
    read,
    linesPerSecond: all[0].check.entries / check.seconds,
    ratioToJson: median(all.map((one) => one.check.seconds / one.json.seconds)),
    processorRatioToJson: median(all.map((one) => one.check.processorSeconds / one.json.processorSeconds)),
    ratioToRead: median(all.map((one) => one.check.seconds / one.read.seconds)),
    memoryRatioToRead: check.peakMegabytes / read.peakMegabytes,
  };
}

/** The power of the number of lines that the time or the memory grows with. */
const exponent = (a, b, of) => Math.log(of(b) / of(a)) / Math.log(b.lines / a.lines);

function measureStart() {
  const place = join(folder, 'one-day');
  mkdirSync(place);
  writeFileSync(join(place, '2026-09.cellar'), ONE_DAY);
  const bare = [];
  const check = [];
  const timed = (args, into) => {
    const start = performance.now();
    run(args);
    into.push(performance.now() - start);
  };
  for (let i = 0; i < START_RUNS; i++) {
    timed(['-e', '0'], bare);
    timed([PROGRAM, 'check', place], check);
  }
  return { bare: median(bare), check: median(check), ratio: median(check.map((time, i) => time / bare[i])) };
}

const start = measureStart();
const measured = sizes.map(measureSize);
const growth = measured.slice(1).map((one, i) => ({
  from: measured[i].lines,
  to: one.lines,
  time: exponent(measured[i], one, (at) => at.check.processorSeconds),
  memory: exponent(measured[i], one, (at) => at.check.peakMegabytes),
}));

if (options.json) {
  process.stdout.write(
    `${JSON.stringify({ node: process.version, start, measured, growth, marks: MARKS }, null, 2)}\n`,
  );
} else {
  const two = (number) => number.toFixed(2);
  const out = [];
  for (const one of measured) {
    out.push(
      `${one.lines} lines in ${one.files} files, ${(one.bytes / 1e6).toFixed(1)} MB, ${one.events} events`,
      `  check            ${two(one.check.seconds)} s (processor ${two(one.check.processorSeconds)} s), ${Math.round(one.linesPerSecond)} lines a second, peak ${one.check.peakMegabytes.toFixed(0)} MB`,
      `  JSON.parse       ${two(one.json.seconds)} s (processor ${two(one.json.processorSeconds)} s), peak ${one.json.peakMegabytes.toFixed(0)} MB`,
      `  only reading     ${one.read.seconds.toFixed(3)} s, peak ${one.read.peakMegabytes.toFixed(0)} MB`,
      `  check / JSON     ${two(one.ratioToJson)} (processor ${two(one.processorRatioToJson)})${one.size >= 1_000_000 ? `   mark: at most ${MARKS.jsonRatioAtMillion}` : ''}`,
      `  check / reading  ${two(one.ratioToRead)}, memory ${two(one.memoryRatioToRead)}`,
      '',
    );
  }
  for (const one of growth) {
    out.push(
      `growth ${one.from} to ${one.to} lines: processor time ^${two(one.time)}, memory ^${two(one.memory)}   mark: at most ^${MARKS.growth}`,
    );
  }
  out.push(
    `start-up: check of one day ${start.check.toFixed(0)} ms, node -e 0 ${start.bare.toFixed(0)} ms, ratio ${two(start.ratio)}   mark: at most ${MARKS.startRatio}`,
  );
  process.stdout.write(`${out.join('\n')}\n`);
}
