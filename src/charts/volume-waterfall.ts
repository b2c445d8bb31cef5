/** From what came into a lot to what is left of it: a bar for every gain and every loss, each where the one above ends. */
import type { VolumeWaterfall } from '../report/charted.ts';
import { linear } from './axis.ts';
import { shorten, widthOf } from './labels.ts';
import { drawing, element, type Frame, round, text } from './svg.ts';

const ROW = 40;
const TOP = 6;
const BAR = 14;
/** A bar is never thinner than a hair, so that a small loss is seen. */
const THINNEST = 1.5;

export function volumeWaterfall(data: VolumeWaterfall, frame: Frame): string {
  let level = 0;
  let most = 0;
  let least = 0;
  for (const row of data.rows) {
    level = row.kind === 'level' ? row.value : level + row.value;
    most = Math.max(most, level);
    least = Math.min(least, level);
  }
  const x = linear([least, most === least ? least + 1 : most], [1, frame.width - 1]);
  const parts: string[] = [];
  level = 0;
  for (const [index, row] of data.rows.entries()) {
    const top = TOP + index * ROW;
    const before = row.kind === 'level' ? 0 : level;
    const after = row.kind === 'level' ? row.value : level + row.value;
    const left = Math.min(x(before), x(after));
    const width = Math.max(THINNEST, Math.abs(x(after) - x(before)));
    const barTop = top + 16;
    parts.push(
      text(shorten(row.label, frame.width - 12 - widthOf(row.text)), { class: 'name', x: 1, y: top + 11 }) +
        text(row.text, { class: 'value', x: frame.width - 1, y: top + 11, 'text-anchor': 'end' }) +
        element('line', { class: 'grid', x1: 1, x2: frame.width - 1, y1: barTop + BAR / 2, y2: barTop + BAR / 2 }) +
        element('rect', { class: `bar ${row.kind}`, x: left, y: barTop, width, height: BAR }) +
        (row.kind === 'level' ? '' : arrow(row.kind, left, width, barTop)) +
        element('line', { class: 'start', x1: x(before), x2: x(before), y1: barTop - 3, y2: barTop + BAR + 3 }),
    );
    level = after;
  }
  return drawing(frame, TOP + data.rows.length * ROW, data.title, describe(data), ...parts);
}

/** Which way it goes, for eyes that do not part the colours: in to the right, out to the left. */
function arrow(kind: 'in' | 'out', left: number, width: number, top: number): string {
  if (width < 14) return '';
  const middle = left + width / 2;
  const y = top + BAR / 2;
  const way = kind === 'in' ? 1 : -1;
  return element('path', {
    class: 'way',
    d: `M${round(middle - 3 * way)},${round(y - 3)}L${round(middle + 2 * way)},${round(y)}L${round(middle - 3 * way)},${round(y + 3)}`,
  });
}

function describe(data: VolumeWaterfall): string {
  return `${data.rows.map(({ label, text }) => `${label} ${text}`).join('; ')}.`;
}
