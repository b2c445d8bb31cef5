/** Text from the journal made safe to stand in HTML and SVG, in element content and in quoted attributes alike. */

const SPECIAL: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Characters that reorder or hide the text around them, and bytes that are no text. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what it looks for.
const UNRULY = /[\u0000-\u0008\u000B-\u001F\u007F-\u009F\u202A-\u202E\u2066-\u2069\uFFF9-\uFFFB]|\p{Surrogate}/gu;

/**
 * Shows a character that would reorder or hide its neighbours by its number, so that what a page shows is what the
 * journal holds: a name cannot pass for another.
 */
export function tame(text: string): string {
  return text.replace(UNRULY, (found) =>
    found === '\r' ? '' : `⟦U+${(found.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}⟧`,
  );
}

/** Letters that are written from right to left. */
const RIGHT_TO_LEFT = /[\u0590-\u08FF\uFB1D-\uFDFF\uFE70-\uFEFC\u{10800}-\u{10FFF}\u{1E800}-\u{1EFFF}]/u;
const WORD = /[\p{L}\p{M}\p{N}_'’-]+/gu;

/**
 * Sets words that run from right to left apart, with the spaces between them, so that a figure beside such a name stays
 * beside it. The marks are those of `<bdi>` as characters, for a text stands in attributes and drawings too.
 */
function isolated(text: string): string {
  return text
    .replace(WORD, (word) => (RIGHT_TO_LEFT.test(word) ? `\u2068${word}\u2069` : word))
    .replace(/\u2069( +)\u2068/gu, '$1');
}

/** Most text holds nothing of any sort: one look tells. */
const ANYTHING =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what it looks for.
  /[&<>"'\u0000-\u0008\u000B-\u001F\u007F-\u009F\u0590-\u08FF\u202A-\u202E\u2066-\u2069\uD800-\uDFFF\uFB1D-\uFDFF\uFE70-\uFEFC\uFFF9-\uFFFB]/;

export function escapeText(text: string): string {
  return ANYTHING.test(text) ? withoutTags(isolated(tame(text))) : text;
}

/** As a line of the journal stands there, for those who copy it: words from right to left are not set apart. */
export function escapeAsWritten(text: string): string {
  return ANYTHING.test(text) ? withoutTags(tame(text)) : text;
}

function withoutTags(text: string): string {
  return text.replace(/[&<>"']/gu, (found) => SPECIAL[found] ?? found);
}
