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

/** Most text holds nothing of either sort: one look tells. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what it looks for.
const ANYTHING = /[&<>"'\u0000-\u0008\u000B-\u001F\u007F-\u009F\u202A-\u202E\u2066-\u2069\uD800-\uDFFF\uFFF9-\uFFFB]/;

export function escapeText(text: string): string {
  if (!ANYTHING.test(text)) return text;
  return tame(text).replace(/[&<>"']/gu, (found) => SPECIAL[found] ?? found);
}
