/** Small journals for the page models: a red that ferments in three bins, at its own pace in each, and what came before it. */
import type { Book } from '../../src/cellar/book.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { contextOf, type ReportContext } from '../../src/report/context.ts';

const STANDING = `cellar "Quern Hollow" region "Lower Teal"
vessel B1..B4 bin 1000 L plastic, at "crush pad"
vessel T1..T4 tank 1200 L steel, at "tank room"
vessel FB-01..FB-04 barrel 225 L wood french, at "barrel room"
vessel K1..K4 keg 50 L
block ledge-2 Syrah region "Lower Teal" 1.1 ha, estate
block ledge-5 Grenache region "Lower Teal" 0.6 ha, grower "contract 7"
hand ana, bo, cy
material kms is potassium metabisulfite
material ey-7 yeast
material mlb-1 bacteria
`;

const day = (number: number): string => `2026-09-${String(number).padStart(2, '0')}`;

/** What a bin reads on each morning from the 16th on: B1 falls fast, B2 falls slowly, B3 stands still. */
export const READINGS: Readonly<Record<'B1' | 'B2' | 'B3', readonly number[]>> = {
  B1: [24.4, 23.8, 21.9, 18.6, 14.2, 10.1, 6.6, 3.9, 2.0],
  B2: [24.3, 24.1, 23.3, 21.9, 20.0, 17.8, 15.6, 13.5, 11.6],
  B3: [24.5, 24.0, 22.3, 19.4, 15.8, 13.0, 12.2, 12.1, 12.1],
};

/** From the 14th to the evening of the 24th of September 2026. */
export function fermentingText(): string {
  const rounds = READINGS.B1.map((_, index) => {
    const rows = (['B1', 'B2', 'B3'] as const).map(
      (bin) => `      ${bin}  ${READINGS[bin][index]?.toFixed(1)}  ${20 + index}.5`,
    );
    return `
${day(16 + index)}
07:00 readings brix, temp C by ana
${rows.join('\n')}
07:30, 13:00 punch-down LS by cy
${index === 7 ? '18:30 punch-down B1 by bo\n19:00 pump-over B2 20 min, aerated by bo\n' : ''}`;
  });
  return `${STANDING}
${day(14)}
    | Clear, 9 C at dawn.
06:50 receive LS from ledge-2, gross 1500 kg, tare 300 kg, tag 10451
07:10 receive LS from ledge-5, net 300 kg
08:30 crush LS to B1..B3 ~430 L each, destemmed, stems 50 kg by ana, bo
08:40 add kms 40 mg/L SO2 to LS, batch "0417" by ana
09:00 inoculate LS with ey-7 25 g/hL by cy
09:10 note LS -- B3 smells of struck match
${rounds.join('')}`;
}

/** The same, and then drained, pressed, put to barrel, finished and bottled. */
export function finishedText(): string {
  return `${STANDING}
2026-09-14
06:50 receive LS from ledge-2, net 1500 kg
08:30 crush LS to B1..B2 670 L each, destemmed, stems 60 kg
09:00 inoculate LS with ey-7 25 g/hL
09:10 add kms 40 mg/L SO2 to LS

2026-09-15
07:00 readings brix
      B1  24.0
      B2  24.0

2026-09-18
07:00 readings brix
      B1  12.0
      B2  13.0
07:30 punch-down LS

2026-09-24
07:00 readings brix, malic g/L
      B1  -1.3  2.0
      B2  -1.4  2.0

2026-09-25
14:00 drain LS to T1 800 L as LS-free
15:00 press LS, pomace 200 kg
      cut 1.0 bar to T2 150 L as LS-p1

2026-10-01
10:00 rack T1 to FB-01..FB-03 225 L each, K1..K2 50 L each, lees 25 L
10:30 inoculate LS-free with mlb-1 1 g/hL

2026-11-10
10:00 reading LS-free malic 0.1 g/L, pH 3.60, alcohol 13.6 % vol

2026-11-12
10:00 add kms 50 mg/L SO2 to LS-free

2026-11-20
10:00 reading LS-free free SO2 28 mg/L, total SO2 60 mg/L
      reading LS-p1 pH 3.72, malic 1.1 g/L

2027-06-01
09:00 top FB-01..FB-03 from K1 6 L

2027-07-01
09:00 bottle FB-01 to 290 x 750 mL as "26LS", loss 2 L
10:00 dispatch "26LS" 40 x 750 mL for sale to "shop on the quay"
`;
}

export function bookOf(text: string, on?: string): Book {
  const until = on === undefined ? undefined : Date.parse(on) / 86_400_000;
  return makeBook([{ path: '2026.cellar', text }], until, checkJournal);
}

export const contextFor = (text: string, on?: string): ReportContext => contextOf(bookOf(text, on));

export function present<T>(value: T | undefined): T {
  if (value === undefined) throw new Error('nothing there');
  return value;
}
