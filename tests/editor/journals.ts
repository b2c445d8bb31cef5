/** Journals for an editor to work on: the demo journal, and lines a crew gets wrong. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { SourceFile } from '../../src/journal/files.ts';
import { cases } from '../corpus/cases.ts';

const root = fileURLToPath(new URL('../../demo-journal', import.meta.url));

/** The demo journal, as the command line reads it. */
export const DEMO: readonly SourceFile[] = readdirSync(root, { recursive: true, withFileTypes: true })
  .filter((entry) => entry.isFile() && entry.name.endsWith('.cellar'))
  .map((entry) => join(entry.parentPath, entry.name))
  .map((path) => ({ path: path.slice(root.length + 1), text: readFileSync(path, 'utf8') }))
  .sort((a, b) => Buffer.compare(Buffer.from(a.path), Buffer.from(b.path)));

/** Every line of the journals that have something wrong with them. */
export const WRONG_LINES: readonly string[] = [
  ...new Set(cases('bad').flatMap(({ files }) => files.flatMap(({ text }) => text.split('\n')))),
].filter((line) => line.length < 300);

/** A small cellar without a fault, for single lines to be tried in. */
export const CELLAR = `cellar "Quern Hollow"
report litres, celsius, kilograms
vessel B1..B4 bin 1000 L plastic
vessel T1..T4 tank 1200 L steel, gauge 11.3 L/cm
vessel FB-01..FB-03 barrel 225 L wood french
vessel K1 keg 50 L
block ledge-2 Syrah region "Lower Teal" 1.1 ha
hand ana, bo
material kms is potassium metabisulfite
material ey-7 yeast
material nutri-a nutrient, nitrogen 10 %
plan barrel-age for wine in barrel
  due top every 21 days

2026-09-14 Mon
07:00 receive LS from ledge-2, net 1540 kg by ana
07:30 sort LS, out 24 kg
08:30 crush LS to B1..B2 ~680 L each, destemmed, stems 60 kg
09:00 inoculate LS with ey-7 25 g/hL
10:00 readings brix, temp C
      B1   24.4   16.0
      B2   24.5   16.5

2026-09-24 Thu
07:00 reading LS brix -1.4
08:00 drain LS to T1 860 L as LS-free by bo
08:30 press LS, pomace 290 kg
      cut 1.0 bar to T2 180 L as LS-p1
      cut 1.8 bar to K1 40 L as LS-p2
09:00 add kms 40 mg/L SO2 to T1 -- smells of quince
`;
