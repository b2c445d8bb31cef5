/** Syntax diagrams: a rule of the grammar drawn as rails, as one SVG text that reads in light and in dark. */
import { type GrammarNode, ruleAsText } from './ebnf.ts';
import { tokenSaid } from './tokens-said.ts';

const CHARACTER = 8;
const BOX_PADDING = 10;
const BOX_HEIGHT = 26;
const GAP = 12;
const TURN = 8;
const LEVEL = 10;
const MARGIN = 12;

const STYLE = [
  'svg { color-scheme: light dark; }',
  '.ground { fill: #fdfbf6; }',
  '.rail { fill: none; stroke: #4a4438; stroke-width: 1.5; }',
  '.typed { fill: #e6efe0; stroke: #4a4438; }',
  '.kind { fill: #f3ead8; stroke: #4a4438; }',
  '.rule { fill: #fdfbf6; stroke: #4a4438; }',
  'text { fill: #262218; font: 13px ui-monospace, monospace; }',
  '@media (prefers-color-scheme: dark) {',
  '  .ground, .rule { fill: #1d1b17; }',
  '  .rail, .typed, .kind, .rule { stroke: #c9c1ae; }',
  '  .typed { fill: #2d3a28; }',
  '  .kind { fill: #3d3423; }',
  '  text { fill: #efe9da; }',
  '}',
].join('\n');

/** A piece of a diagram: it enters at its left and leaves at its right on one line, `up` above and `down` below it. */
interface Piece {
  readonly width: number;
  readonly up: number;
  readonly down: number;
  /** The SVG of the piece with its line at `y`, from `x` on. */
  readonly draw: (x: number, y: number) => string[];
}

export const escapeXml = (text: string): string =>
  text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;').replace(/"/g, '&quot;');

const path = (d: string): string => `<path class="rail" d="${d}"/>`;
const line = (from: number, to: number, y: number): string[] => (to > from ? [path(`M${from} ${y}H${to}`)] : []);

function box(text: string, style: 'typed' | 'kind' | 'rule'): Piece {
  const width = text.length * CHARACTER + 2 * BOX_PADDING;
  const half = BOX_HEIGHT / 2;
  const round = style === 'rule' ? 0 : half;
  return {
    width,
    up: half,
    down: half,
    draw: (x, y) => [
      `<rect class="${style}" x="${x}" y="${y - half}" width="${width}" height="${BOX_HEIGHT}" rx="${round}"/>`,
      `<text x="${x + width / 2}" y="${y + 4.5}" text-anchor="middle">${escapeXml(text)}</text>`,
    ],
  };
}

function inARow(pieces: readonly Piece[]): Piece {
  const only = pieces[0];
  if (pieces.length === 1 && only !== undefined) return only;
  return {
    width: pieces.reduce((sum, piece) => sum + piece.width, 0) + GAP * Math.max(0, pieces.length - 1),
    up: Math.max(0, ...pieces.map((piece) => piece.up)),
    down: Math.max(0, ...pieces.map((piece) => piece.down)),
    draw: (x, y) => {
      const out: string[] = [];
      let at = x;
      pieces.forEach((piece, i) => {
        if (i > 0) {
          out.push(...line(at, at + GAP, y));
          at += GAP;
        }
        out.push(...piece.draw(at, y));
        at += piece.width;
      });
      return out;
    },
  };
}

/** The piece may be left out: a rail passes over it. */
function passedOver(piece: Piece): Piece {
  const up = piece.up + LEVEL;
  return {
    width: piece.width + 4 * TURN,
    up: up + 1,
    down: piece.down,
    draw: (x, y) => {
      const right = x + piece.width + 4 * TURN;
      return [
        ...line(x, x + 2 * TURN, y),
        ...piece.draw(x + 2 * TURN, y),
        ...line(right - 2 * TURN, right, y),
        path(
          `M${x} ${y}q${TURN} 0 ${TURN} ${-TURN}V${y - up + TURN}q0 ${-TURN} ${TURN} ${-TURN}H${right - 2 * TURN}` +
            `q${TURN} 0 ${TURN} ${TURN}V${y - TURN}q0 ${TURN} ${TURN} ${TURN}`,
        ),
      ];
    },
  };
}

/** The piece may come again: a rail leads back under it. */
function again(piece: Piece): Piece {
  const down = piece.down + LEVEL;
  return {
    width: piece.width + 4 * TURN,
    up: piece.up,
    down: down + 4,
    draw: (x, y) => {
      const right = x + piece.width + 4 * TURN;
      const middle = (x + right) / 2;
      return [
        ...line(x, x + 2 * TURN, y),
        ...piece.draw(x + 2 * TURN, y),
        ...line(right - 2 * TURN, right, y),
        path(
          `M${right - 2 * TURN} ${y}q${TURN} 0 ${TURN} ${TURN}V${y + down - TURN}q0 ${TURN} ${-TURN} ${TURN}` +
            `H${x + 2 * TURN}q${-TURN} 0 ${-TURN} ${-TURN}V${y + TURN}q0 ${-TURN} ${TURN} ${-TURN}`,
        ),
        path(`M${middle + 4} ${y + down - 4}l-5 4l5 4`),
      ];
    },
  };
}

/** One of the pieces: the first on the line, the others below it. */
function oneOf(pieces: readonly Piece[]): Piece {
  const only = pieces[0];
  if (pieces.length === 1 && only !== undefined) return only;
  const inner = Math.max(...pieces.map((piece) => piece.width));
  const offsets: number[] = [];
  let offset = 0;
  pieces.forEach((piece, i) => {
    if (i > 0) offset += (pieces[i - 1]?.down ?? 0) + LEVEL + piece.up;
    offsets.push(offset);
  });
  return {
    width: inner + 4 * TURN,
    up: only?.up ?? 0,
    down: offset + (pieces[pieces.length - 1]?.down ?? 0),
    draw: (x, y) => {
      const right = x + inner + 4 * TURN;
      return pieces.flatMap((piece, i) => {
        const drop = offsets[i] ?? 0;
        const start = x + 2 * TURN;
        const out = [...piece.draw(start, y + drop), ...line(start + piece.width, right - 2 * TURN, y + drop)];
        if (i === 0) return [...line(x, start, y), ...out, ...line(right - 2 * TURN, right, y)];
        return [
          path(`M${x} ${y}q${TURN} 0 ${TURN} ${TURN}V${y + drop - TURN}q0 ${TURN} ${TURN} ${TURN}`),
          ...out,
          path(`M${right - 2 * TURN} ${y + drop}q${TURN} 0 ${TURN} ${-TURN}V${y + TURN}q0 ${-TURN} ${TURN} ${-TURN}`),
        ];
      });
    },
  };
}

function layOut(node: GrammarNode): Piece {
  const inner = node.definition ?? [];
  switch (node.type) {
    case 'Terminal': {
      const said = tokenSaid(node.name ?? '');
      return box(said.text, said.literal ? 'typed' : 'kind');
    }
    case 'NonTerminal':
      return box(node.name ?? '', 'rule');
    case 'Alternation':
      return oneOf(inner.map(layOut));
    case 'Option':
      return passedOver(inARow(inner.map(layOut)));
    case 'Repetition':
      return passedOver(again(inARow(inner.map(layOut))));
    case 'RepetitionMandatory':
      return again(inARow(inner.map(layOut)));
    default:
      return inARow(inner.map(layOut));
  }
}

/** The SVG of one rule, with its EBNF as the text alternative. Lengths are in CSS pixels. */
export function diagram(rule: GrammarNode): string {
  const name = rule.name ?? '';
  const piece = inARow((rule.definition ?? []).map(layOut));
  const y = MARGIN + Math.ceil(Math.max(piece.up, LEVEL));
  const start = MARGIN + GAP;
  const width = piece.width + 2 * start;
  const height = y + Math.ceil(Math.max(piece.down, LEVEL)) + MARGIN;
  const end = start + piece.width;
  return `${[
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}" role="img" aria-labelledby="title text">`,
    `<title id="title">The rule ${escapeXml(name)}</title>`,
    `<desc id="text">${escapeXml(ruleAsText(rule))}</desc>`,
    `<style>${STYLE}</style>`,
    `<rect class="ground" width="${width}" height="${height}"/>`,
    path(`M${MARGIN} ${y - 6}V${y + 6}M${MARGIN} ${y}H${start}`),
    ...piece.draw(start, y),
    path(`M${end} ${y}H${end + GAP}M${end + GAP} ${y - 6}V${y + 6}`),
    '</svg>',
  ].join('\n')}\n`;
}
