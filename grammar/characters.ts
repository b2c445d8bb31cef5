/** Look-alike characters: what is harmless is taken for the usual one, one for one, so that columns stay true. */
import type { Problem } from './entries.ts';
import { instead } from './fixes.ts';

const BLANKS = /[\t\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000]/;

/** The usual character for a look-alike, or undefined. */
function usual(c: string): string | undefined {
  const code = c.charCodeAt(0);
  if (code === 9 || BLANKS.test(c)) return ' ';
  if (code >= 0xff10 && code <= 0xff19) return String.fromCharCode(code - 0xff10 + 48);
  switch (c) {
    case '\u201c':
    case '\u201d':
    case '\u201e':
    case '\u201f':
    case '\uff02':
      return '"';
    case '\u2212':
    case '\uff0d':
      return '-';
    case '\uff0e':
      return '.';
    case '\uff0c':
      return ',';
    case '\uff1a':
      return ':';
    case '\u223c':
    case '\uff5e':
    case '\u2248':
      return '~';
    case '\u2026':
      return '\u2026';
    default:
      return undefined;
  }
}

const SAY: Readonly<Record<string, string>> = {
  ' ': 'an unusual blank (a tab or a no-break blank) was read as a blank',
  '0': 'full-width digits were read as plain ones',
  '"': 'a curly quote was read as a plain one',
  '-': 'a typographic minus was read as `-`',
  '~': 'a look-alike was read as `~`',
};

/** A line in usual characters, with what was changed; the text keeps its length. */
export function usualCharacters(text: string): { text: string; problems: Problem[] } {
  const problems: Problem[] = [];
  let plain = '';
  let quoted = false;
  let seen = '';
  for (let i = 0; i < text.length; i++) {
    const c = text.charAt(i);
    if (c === '"') quoted = !quoted;
    // a comment, a remark and text in quotes keep their characters
    const blankBefore = i === 0 || /\s/.test(text.charAt(i - 1));
    if (!quoted && blankBefore && (c === '#' || (c === '-' && text.charAt(i + 1) === '-') || c === '—')) {
      const isRemark = c === '—' || c === '#' || /^--(\s|$)/.test(text.slice(i, i + 3));
      if (isRemark) {
        const newline = text.indexOf('\n', i);
        const end = newline === -1 ? text.length : newline;
        plain += text.slice(i, end);
        i = end - 1;
        continue;
      }
    }
    let to = usual(c);
    if (to === '"') quoted = !quoted;
    else if (quoted && c !== '\t') to = undefined;
    if (to === undefined || to === c) {
      plain += c;
      continue;
    }
    plain += to;
    const kind = to >= '0' && to <= '9' ? '0' : to;
    if (seen.includes(kind)) continue;
    seen += kind;
    let end = i + 1;
    let run = to;
    // digits are told of as the number they make
    for (let next = usual(text.charAt(end)); kind === '0' && next !== undefined && next >= '0' && next <= '9'; ) {
      run += next;
      end++;
      next = usual(text.charAt(end));
    }
    problems.push({
      code: 'odd-character',
      start: i,
      end,
      message: SAY[kind] ?? `a full-width \`${c}\` was read as \`${to}\``,
      help: to === ' ' ? 'write a plain blank' : `write a plain \`${run}\``,
    });
  }
  return { text: plain, problems: problems.map((problem) => withFix(problem, text, plain)) };
}

/** Every look-alike from the one that is told of to the last of its line, as usual characters. */
function withFix(problem: Problem, text: string, plain: string): Problem {
  let end = problem.end;
  for (let i = end; i < text.length && text.charAt(i) !== '\n'; i++)
    if (text.charAt(i) !== plain.charAt(i)) end = i + 1;
  return { ...problem, ...instead({ start: problem.start, end }, plain.slice(problem.start, end)) };
}

// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
export const CONTROL = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]/;
export const UNUSUAL = /[^\u0020-\u007e\n\r]/;
