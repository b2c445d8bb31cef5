/** A small builder of SVG text: escaped, with rounded coordinates, and with the title and description every chart has. */
import { escapeText } from '../report/escape.ts';

export type Attributes = Readonly<Record<string, string | number | undefined>>;

/** Decimal places of coordinates: a tenth of a pixel is finer than any screen shows. */
export const DIGITS = 1;

/** A coordinate as text, rounded, without a negative zero. */
export function round(value: number): string {
  const text = value.toFixed(DIGITS);
  return (text.endsWith('.0') ? text.slice(0, -2) : text).replace(/^-0$/u, '0');
}

/** An element; numbers among its attributes are rounded, children are SVG text already. */
export function element(name: string, attributes: Attributes, ...children: string[]): string {
  let open = `<${name}`;
  for (const [key, value] of Object.entries(attributes)) {
    if (value === undefined) continue;
    open += ` ${key}="${typeof value === 'number' ? round(value) : escapeText(value)}"`;
  }
  return children.length === 0 ? `${open}/>` : `${open}>${children.join('')}</${name}>`;
}

export function text(content: string, attributes: Attributes): string {
  return element('text', attributes, escapeText(content));
}

export interface Frame {
  /** Unique within its page. */
  readonly id: string;
  /** In pixels of the drawing; the page scales it to the room there is. */
  readonly width: number;
}

/** The whole drawing, named and described for those who cannot see it. */
export function drawing(
  frame: Frame,
  height: number,
  title: string,
  description: string,
  ...children: string[]
): string {
  return `${element(
    'svg',
    {
      class: 'chart',
      role: 'img',
      'aria-labelledby': `${frame.id}-t ${frame.id}-d`,
      viewBox: `0 0 ${round(frame.width)} ${round(height)}`,
      width: frame.width,
      height,
    },
    element('title', { id: `${frame.id}-t` }, escapeText(title)),
    element('desc', { id: `${frame.id}-d` }, escapeText(description)),
    `\n${children.filter((child) => child !== '').join('\n')}\n`,
  )}\n`;
}
