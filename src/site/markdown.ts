/**
 * Notes in Markdown to safe HTML. Raw HTML is dropped; links go to http, https, mail or a relative place only; nothing is
 * loaded from anywhere. Plain text, which most notes are, takes a short way that gives the same HTML; the libraries for
 * the long way are loaded only where a text needs them.
 */
import type { Element, ElementContent, Root, RootContent } from 'hast';
import { escapeText, tame } from '../report/escape.ts';

export interface MarkdownMode {
  /** What stands before a relative link, so that it counts from the site's root: `../`. */
  readonly base: string;
  /** Whether headings stay headings, from the second level down. A note's become strong lines, for it stands within a page. */
  readonly headings: boolean;
  /** The ending of relative links to other Markdown files becomes that of pages. */
  readonly pages: boolean;
}

export type Markdown = (text: string) => string;

/**
 * A function that renders any of the given texts. A text that was not among them and needs the long way, when none of
 * them did, is shown as it is written.
 */
export async function markdownFor(texts: Iterable<string>, mode: MarkdownMode): Promise<Markdown> {
  let long: Markdown | undefined;
  const known = knownIn(mode);
  for (const text of texts) {
    if (!known.has(text) && plainHtml(text) === undefined) {
      long = await longWay(mode);
      break;
    }
  }
  return (text) => {
    let html = known.get(text);
    if (html === undefined) {
      html = plainHtml(text) ?? long?.(text);
      // Not kept: it would stand for the text ever after.
      if (html === undefined) return `<p>${escapeText(text)}</p>`;
      known.set(text, html);
    }
    return html;
  };
}

/** What was rendered before in this process, by mode: a rebuild on a save renders only what is new. */
const KNOWN = new Map<string, Map<string, string>>();
/** Texts kept by mode; beyond them all are forgotten, so that no long watch grows without end. */
const MOST_KNOWN = 20_000;

function knownIn(mode: MarkdownMode): Map<string, string> {
  const key = `${mode.base} ${mode.headings} ${mode.pages}`;
  let known = KNOWN.get(key);
  if (known === undefined || known.size > MOST_KNOWN) {
    known = new Map();
    KNOWN.set(key, known);
  }
  return known;
}

/**
 * A line that Markdown leaves alone: it begins with a letter, and holds nothing that could be a mark, an entity, a link or
 * a line break. Addresses that would be linked by themselves are told by `www.`, `://` and `@`.
 */
const PLAIN_LINE = /^\p{L}(?:[\p{L}\p{N} ,.;:()'"%/+°–—’“”!?=-]*[\p{L}\p{N},.;:()'"%/°’”!?])?$/u;
const LINKED = /www\.|:\/\//iu;

/** The HTML of plain text, or `undefined` where the text may hold Markdown. */
export function plainHtml(text: string): string | undefined {
  if (LINKED.test(text)) return undefined;
  const paragraphs: string[] = [];
  let lines: string[] = [];
  for (const line of text.split('\n')) {
    if (line === '') {
      if (lines.length > 0) paragraphs.push(lines.join('\n'));
      lines = [];
      continue;
    }
    if (!PLAIN_LINE.test(line)) return undefined;
    lines.push(line);
  }
  if (lines.length > 0) paragraphs.push(lines.join('\n'));
  return paragraphs.map((paragraph) => `<p>${paragraph}</p>`).join('\n');
}

/** The whole of Markdown with tables, struck words and task lists. */
export async function longWay(mode: MarkdownMode): Promise<Markdown> {
  const [{ unified }, parse, gfm, toHtml, sanitize, stringify] = await Promise.all([
    import('unified'),
    import('remark-parse'),
    import('remark-gfm'),
    import('remark-rehype'),
    import('rehype-sanitize'),
    import('rehype-stringify'),
  ]);
  const processor = unified()
    .use(parse.default)
    .use(gfm.default)
    .use(toHtml.default)
    .use(() => (tree: Root) => settle(tree, mode))
    .use(sanitize.default, {
      tagNames: TAGS,
      attributes: { a: ['href'], th: ['align'], td: ['align'], ol: ['start'] },
      protocols: { href: ['http', 'https', 'mailto'] },
      strip: ['script', 'style'],
    })
    .use(() => (tree: Root) => mind(tree))
    .use(stringify.default)
    .freeze();
  return (text) => String(processor.processSync(tame(text)));
}

const TAGS = [
  'a',
  'blockquote',
  'br',
  'code',
  'del',
  'em',
  'h2',
  'h3',
  'h4',
  'h5',
  'h6',
  'hr',
  'li',
  'ol',
  'p',
  'pre',
  'strong',
  'sup',
  'table',
  'tbody',
  'td',
  'th',
  'thead',
  'tr',
  'ul',
];

type Parent = Root | Element;

/** Makes what a page cannot take into what it can: images to links, boxes to signs, headings to their place, links to safe ones. */
function settle(parent: Parent, mode: MarkdownMode): void {
  // A root's and an element's children differ in types only: neither holds what the other could not.
  const children = parent.children as (RootContent | ElementContent)[];
  const settled = children.flatMap((child): (RootContent | ElementContent)[] => {
    if (child.type !== 'element') return [child];
    if (child.tagName === 'img') {
      const source = stringOf(child.properties.src);
      const alternative = stringOf(child.properties.alt);
      return link(source, [{ type: 'text', value: alternative === '' ? source : alternative }], mode);
    }
    if (child.tagName === 'input') {
      return [{ type: 'text', value: child.properties.checked === true ? '☑' : '☐' }];
    }
    settle(child, mode);
    if (child.tagName === 'a') return link(stringOf(child.properties.href), child.children, mode);
    const level = /^h([1-6])$/u.exec(child.tagName)?.[1];
    if (level === undefined) return [child];
    if (mode.headings) return [{ ...child, tagName: level === '1' ? 'h2' : child.tagName }];
    const strong: Element = { type: 'element', tagName: 'strong', properties: {}, children: child.children };
    return [{ ...child, tagName: 'p', children: [strong] }];
  });
  parent.children = settled as ElementContent[];
}

function stringOf(value: unknown): string {
  return typeof value === 'string' ? value : '';
}

/** A link, or only its words where it goes nowhere a page may send people. */
function link(href: string, children: ElementContent[], mode: MarkdownMode): ElementContent[] {
  const target = safeTarget(href, mode);
  if (target === undefined) return children;
  return [{ type: 'element', tagName: 'a', properties: { href: target }, children }];
}

function safeTarget(href: string, mode: MarkdownMode): string | undefined {
  if (/^(?:https?:\/\/|mailto:)/iu.test(href)) return href;
  // Anything else with a scheme, from the root of a disk or a host, or within the page, is none of a note's business.
  if (href === '' || /^[a-z][a-z0-9+.-]*:|^[/\\#?]|[\\\s]/iu.test(href)) return undefined;
  return mode.base + (mode.pages ? href.replace(/\.md(?=$|#)/u, '.html') : href);
}

/** Links out of the site tell nobody where they came from. */
function mind(parent: Parent): void {
  for (const child of parent.children) {
    if (child.type !== 'element') continue;
    if (child.tagName === 'a' && /^https?:/iu.test(stringOf(child.properties.href))) {
      child.properties.rel = ['noreferrer'];
    }
    mind(child);
  }
}
