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

/** What a part says when it is pointed at. */
export function hint(content: string): string {
  return element('title', {}, escapeText(content));
}

/** A part that leads somewhere, or the part alone where there is no place to go to. */
export function linked(href: string | undefined, frame: Frame, ...children: string[]): string {
  if (href === undefined) return children.join('');
  return element('a', { href: frame.to === undefined ? href : frame.to(href) }, ...children);
}

export interface Frame {
  /** Unique within its page. */
  readonly id: string;
  /** In pixels of the drawing; the page scales it to the room there is. */
  readonly width: number;
  /** A path from the site's root as the page must write it. */
  readonly to?: (href: string) => string;
}

/** From this width on a drawing is made for a desk, below for a phone. */
const DESK = 500;

export function isWide({ width }: Frame): boolean {
  return width > DESK;
}

/** The whole drawing, named and described for those who cannot see it. */
export function drawing(
  frame: Frame,
  height: number,
  title: string,
  description: string,
  ...children: string[]
): string {
  return whole('img', frame, height, title, description, children);
}

/** A drawing with links in it: a document, as drawings are, and not one picture that hides them from those who cannot see it. */
export function linkedDrawing(
  frame: Frame,
  height: number,
  title: string,
  description: string,
  ...children: string[]
): string {
  const links = children.some((child) => child.includes('<a '));
  return whole(links ? undefined : 'img', frame, height, title, description, children);
}

function whole(
  role: 'img' | undefined,
  frame: Frame,
  height: number,
  title: string,
  description: string,
  children: readonly string[],
): string {
  return `${element(
    'svg',
    {
      class: 'chart',
      role,
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
