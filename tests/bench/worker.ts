/** One measurement in a process of its own: `worker MODE FOLDER`; prints seconds, processor seconds and peak memory as JSON. */
import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { readFolder } from '../../src/cli/journal-files.ts';
import type { Event } from '../../src/journal/events.ts';
import { Register } from '../../src/journal/names.ts';
import { readSequence } from '../../src/journal/sequence.ts';

const [mode = '', folder = ''] = process.argv.slice(2);
/** Beside the journal: its events as JSON, in pieces short enough for one string each. */
const PIECE_NAME = /^events-\d+\.json$/;
const LONGEST_PIECE = 300_000_000;

interface Measured {
  readonly [name: string]: number;
}

/** Everything is handed to this, so that nothing measured can be left out as unused. */
const kept: unknown[] = [];

function timed(work: () => Measured): void {
  const cpu = process.cpuUsage();
  const start = performance.now();
  const measured = work();
  const seconds = (performance.now() - start) / 1000;
  const used = process.cpuUsage(cpu);
  const result = {
    seconds,
    processorSeconds: (used.user + used.system) / 1e6,
    peakMegabytes: process.resourceUsage().maxRSS / 1024,
    ...measured,
  };
  process.stdout.write(`${JSON.stringify(result)}\n`);
}

const pieces = (): string[] =>
  readdirSync(folder)
    .filter((name) => PIECE_NAME.test(name))
    .sort();

function writeEvents(): Measured {
  const { files } = readFolder(join(folder, 'journal'));
  for (const name of pieces()) rmSync(join(folder, name));
  let texts: string[] = [];
  let length = 0;
  let events = 0;
  let written = 0;
  const flush = (): void => {
    writeFileSync(join(folder, `events-${String(written).padStart(3, '0')}.json`), `[${texts.join(',')}]`);
    written++;
    texts = [];
    length = 0;
  };
  const keep = (event: Event): void => {
    const text = JSON.stringify(event);
    texts.push(text);
    length += text.length + 1;
    events++;
    if (length >= LONGEST_PIECE) flush();
  };
  let failed = 0;
  const fail = (): void => {
    failed++;
  };
  readSequence(files, new Register(), { event: keep, unread: fail, report: fail, wait: fail });
  flush();
  return { events, failed, pieces: written };
}

switch (mode) {
  case 'events':
    timed(writeEvents);
    break;
  case 'read':
    timed(() => {
      const { files } = readFolder(join(folder, 'journal'));
      kept.push(files);
      return { characters: files.reduce((sum, file) => sum + file.text.length, 0) };
    });
    break;
  case 'check':
    timed(() => {
      const { files } = readFolder(join(folder, 'journal'));
      const folded = checkJournal(files);
      kept.push(folded);
      return { entries: folded.entries, findings: folded.findings.length };
    });
    break;
  case 'json': {
    // the text is there before the clock starts: only the parsing is measured
    const texts = pieces().map((name) => readFileSync(join(folder, name), 'utf8'));
    timed(() => {
      let events = 0;
      for (const text of texts) {
        const parsed: unknown = JSON.parse(text);
        kept.push(parsed);
        events += Array.isArray(parsed) ? parsed.length : 0;
      }
      return { events };
    });
    break;
  }
  default:
    process.stderr.write(`no such measurement: ${mode}\n`);
    process.exitCode = 2;
}
