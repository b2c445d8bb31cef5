/** How fruit ripened: sugar, pH and titratable acid of blocks on panels of their own, and the days of harvest. */
import type { CurvePoint, CurveSeries, Ripening, RipeningBlock } from '../report/charted.ts';
import { dayOf, dayText, shortDayText } from '../report/dates.ts';
import { counted, nameList } from '../report/names.ts';
import type { Scale } from './axis.ts';
import { figure, shorten, TICK_SIZE, widthOf } from './labels.ts';
import { extentOf, finite, linesAndPoints, looksOf, MOST_NAMED, timeOf } from './lines.ts';
import { markAt } from './marks.ts';
import { dayAxis, dayLines, panelAxis, stack } from './panels.ts';
import { drawing, element, type Frame, isWide, text } from './svg.ts';

type Measured = Pick<RipeningBlock, 'sugar' | 'pH' | 'acid'>;

export function ripening(given: Ripening, frame: Frame): string {
  const data = {
    ...given,
    blocks: given.blocks.map((block) => ({
      ...block,
      sugar: finite(block.sugar),
      pH: finite(block.pH),
      acid: finite(block.acid),
    })),
  };
  const wide = isWide(frame);
  const picked = data.blocks.flatMap(({ name, harvest }) => (harvest === undefined ? [] : [{ name, minute: harvest }]));
  const measured = [
    { heading: 'sugar', unit: data.sugarUnit, series: seriesOf(data, 'sugar'), height: wide ? 150 : 130 },
    { heading: 'titratable acid', unit: data.acidUnit, series: seriesOf(data, 'acid'), height: wide ? 105 : 96 },
    { heading: '', unit: 'pH', series: seriesOf(data, 'pH'), height: wide ? 105 : 96 },
  ].filter(({ series }) => series.length > 0);
  const [from, until] = timeOf(
    measured.flatMap(({ series }) => series),
    picked,
  );
  const stacked = stack(
    measured.map((panel) => ({ ...panel, extent: extentOf(panel.series) ?? [0, 1], ticks: 4 })),
    [from, until],
    frame,
  );
  // A block looks the same on every panel, whichever of them it is missing from.
  const looks = looksOf(data.blocks);
  const parts = [
    dayLines(stacked),
    ...stacked.panels.map(
      (panel, index) =>
        panelAxis(panel) +
        harvestLines(picked, looks, panel.x, panel.top, panel.bottom) +
        linesAndPoints(measured[index]?.series ?? [], looks, panel),
    ),
    dayAxis(stacked),
  ];
  let end = stacked.foot;
  if (picked.length > 0) {
    const strip = harvestStrip(picked, stacked.x, { ...stacked, top: end, width: frame.width });
    parts.push(strip.svg);
    end += strip.height;
  }
  return drawing(frame, end + 4, data.title, describe(data, from, until), ...parts);
}

function seriesOf({ blocks }: Ripening, of: keyof Measured): CurveSeries[] {
  return blocks.map((block) => ({ name: block.name, points: block[of] })).filter(({ points }) => points.length > 0);
}

interface Picked {
  readonly name: string;
  readonly minute: number;
}

/** An upright for each block while they are few. */
function harvestLines(
  picked: readonly Picked[],
  looks: ReadonlyMap<string, string>,
  x: Scale,
  top: number,
  bottom: number,
): string {
  if (looks.size > MOST_NAMED) return '';
  return picked
    .map(({ name, minute }) =>
      element(
        'g',
        { class: `picked ${looks.get(name) ?? 's1'}` },
        element('path', { d: `M${x(minute).toFixed(1)},${top}V${bottom}` }),
      ),
    )
    .join('');
}

const ROW = 16;
const MOST_ROWS = 5;

/** A mark for each day of harvest, its blocks named beside it where there is room on one of a few rows. */
function harvestStrip(
  picked: readonly Picked[],
  x: Scale,
  {
    left,
    right,
    top,
    width,
  }: { readonly left: number; readonly right: number; readonly top: number; readonly width: number },
): { readonly svg: string; readonly height: number } {
  const days = new Map<number, Picked[]>();
  for (const one of [...picked].sort((a, b) => a.minute - b.minute)) {
    const day = dayOf(one.minute);
    days.set(day, [...(days.get(day) ?? []), one]);
  }
  const taken: number[] = [];
  let rows = 1;
  const marks = [...days].map(([day, of]) => {
    const minute = of[0]?.minute ?? 0;
    const at = x(minute);
    const names = nameList(of.map(({ name }) => name));
    const words = shorten(names, (width - left) / 2, TICK_SIZE);
    const length = widthOf(words, TICK_SIZE) + 9;
    // A name that would run out of the frame stands before its mark.
    const before = at + length > width;
    const [start, stop] = before ? [at - length, at + 8] : [at - 6, at + length];
    let row = taken.findIndex((end) => end <= start);
    if (row < 0 && taken.length < MOST_ROWS) row = taken.push(0) - 1;
    if (row >= 0) taken[row] = stop + 6;
    // Marks without room for a name stand on a row of their own.
    const line = row < 0 ? MOST_ROWS : row;
    rows = Math.max(rows, line + 1);
    const y = top + 22 + line * ROW;
    const place = { x: before ? at - 8 : at + 8, y: y + 4, 'text-anchor': before ? 'end' : 'start' };
    return (
      markAt({ minute, label: `${dayText(day)}: ${names}` }, 'triangle', at, y) +
      (row < 0 ? '' : text(words, { class: 'tick halo', ...place }))
    );
  });
  const head = text(`Harvest (${picked.length})`, { class: 'strip', x: left, y: top + 9 });
  const lines = Array.from({ length: rows }, (_, row) => {
    const y = top + 22 + row * ROW;
    return element('line', { class: 'grid', x1: left, x2: right, y1: y, y2: y });
  });
  return { svg: head + lines.join('') + marks.join(''), height: 16 + rows * ROW };
}

function describe(data: Ripening, from: number, until: number): string {
  const samples = data.blocks.reduce((sum, { sugar }) => sum + sugar.length, 0);
  const last = (points: readonly CurvePoint[]): number | undefined => points.at(-1)?.value;
  const told = data.blocks.slice(0, MOST_NAMED).map(({ name, sugar, pH, acid, harvest }) => {
    const figures = [
      [last(sugar), data.sugarUnit],
      [last(acid), data.acidUnit],
    ] as const;
    const words = figures.flatMap(([value, unit]) => (value === undefined ? [] : [`${figure(value)} ${unit}`]));
    const acidity = last(pH);
    if (acidity !== undefined) words.push(`pH ${figure(acidity)}`);
    if (harvest !== undefined) words.push(`picked ${shortDayText(dayOf(harvest))}`);
    return `${name} ${words.join(', ')}`;
  });
  return (
    `${counted(samples, 'reading')} of sugar of ${nameList(data.blocks.map(({ name }) => name))} ` +
    `from ${dayText(dayOf(from))} to ${dayText(dayOf(until))}.${told.length === 0 ? '' : ` Last: ${told.join('; ')}.`}`
  );
}
