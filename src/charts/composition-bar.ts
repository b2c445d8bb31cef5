/** What a wine is made of, as one bar: a length a source, lettered as in the table beneath. */
import type { CompositionBar } from '../report/charted.ts';
import { drawing, element, type Frame, text } from './svg.ts';

const BAR = 34;
/** Looks before they repeat; the letters part what the looks do not. */
const LOOKS = 6;

export function compositionBar(data: CompositionBar, frame: Frame): string {
  const width = frame.width - 2;
  let x = 1;
  const parts = data.parts.map((part, index) => {
    const length = part.share * width;
    const from = x;
    x += length;
    const label =
      length > 8 * part.label.length + 30 ? `${part.letter}  ${part.label}` : length > 14 ? part.letter : '';
    return (
      element('rect', { class: `part p${(index % LOOKS) + 1}`, x: from, y: 1, width: length, height: BAR }) +
      (label === '' ? '' : text(label, { class: 'part-name', x: from + length / 2, y: 22, 'text-anchor': 'middle' })) +
      (index === 0 ? '' : element('line', { class: 'seam', x1: from, x2: from, y1: 1, y2: BAR + 1 }))
    );
  });
  return drawing(
    frame,
    BAR + 2,
    data.title,
    `${data.parts.map(({ letter, label, text }) => `${letter}: ${label} ${text}`).join('; ')}.`,
    ...parts,
  );
}
