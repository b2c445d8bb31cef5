/** Reads a file of comma-separated values as it comes from a laboratory or a logger: RFC 4180, and what programs make of it. */
import { isUtf8 } from 'node:buffer';
import { CsvError, parse } from 'csv-parse/sync';

export interface ReadTable {
  readonly headings: readonly string[];
  readonly rows: readonly { readonly line: number; readonly cells: readonly string[] }[];
  /** What parts the cells: `,`, `;`, a tab, or what the table itself says. */
  readonly parted: string;
}

type Refused = { readonly refused: string };

/** The text of a file: UTF-8, or UTF-16 that says so by its first bytes. */
function textOf(bytes: Buffer): string | Refused {
  const [a, b] = bytes;
  if (a === 0xff && b === 0xfe) return bytes.subarray(2).toString('utf16le');
  if (a === 0xfe && b === 0xff && bytes.length % 2 === 0)
    return Buffer.from(bytes.subarray(2)).swap16().toString('utf16le');
  if (bytes.includes(0)) return { refused: 'it is no text, or UTF-16 that does not say so: save it as CSV in UTF-8' };
  if (!isUtf8(bytes)) return { refused: 'it is not UTF-8 text: save it as CSV in UTF-8' };
  return bytes.toString('utf8').replace(/^\ufeff/, '');
}

const PARTS = [',', ';', '\t'] as const;

/** What parts the headings: of the three the one that stands most often outside quotes. */
function partedBy(text: string): string {
  const counts = PARTS.map((part) => {
    let quoted = false;
    let count = 0;
    for (const c of text) {
      if (c === '"') quoted = !quoted;
      else if (quoted) continue;
      else if (c === part) count++;
      else if ((c === '\n' || c === '\r') && count > 0) break;
    }
    return count;
  });
  const most = Math.max(...counts);
  return most === 0 ? ',' : (PARTS[counts.indexOf(most)] ?? ',');
}

/** `sep=;`: a first line that spreadsheets write, which says what parts the cells and is no row. */
const SAYS_PARTED = /^"?sep=([^\p{L}\p{N}"\r\n])"?(?:\r\n|\n|\r|$)/iu;

/** A table with its headings, or why the bytes are none. */
export function readTable(bytes: Buffer): ReadTable | Refused {
  const whole = textOf(bytes);
  if (typeof whole !== 'string') return whole;
  const [first = '', said] = SAYS_PARTED.exec(whole) ?? [];
  const text = whole.slice(first.length);
  const above = first === '' ? 0 : 1;
  const parted = said ?? partedBy(text);
  try {
    const lines: number[] = [];
    const [headings, ...rows]: readonly (readonly string[])[] = parse(text, {
      delimiter: parted,
      relax_column_count: true,
      skip_empty_lines: true,
      record_delimiter: ['\r\n', '\n', '\r'],
      on_record: (record: string[], context) => {
        lines.push(context.lines);
        return record;
      },
    });
    if (headings === undefined) return { refused: 'it is empty' };
    return { headings, rows: rows.map((cells, at) => ({ line: (lines[at + 1] ?? 0) + above, cells })), parted };
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const line = typeof error.lines === 'number' ? ` in line ${error.lines + above}` : '';
    return { refused: `its quotes do not close as they should${line}: a quote within quotes is written twice` };
  }
}
