import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { longWay, type Markdown, type MarkdownMode, markdownFor, plainHtml } from '../../src/site/markdown.ts';

const NOTE: MarkdownMode = { base: '../', headings: false, pages: false };
let note: Markdown;
beforeAll(async () => {
  note = await longWay(NOTE);
});

describe('the short way for plain text', () => {
  test('takes the notes a cellar writes', () => {
    for (const text of [
      'Clear, 9 C at dawn. Eleven pickers.',
      'Smells of plums; cap firm (33 °C).\nPumped twice more.',
      'First.\n\nSecond – "quoted" text, 5 g/hL = 50 mg/L?',
    ]) {
      expect(plainHtml(text)).toBeDefined();
    }
  });

  test('gives what the long way gives, or declines', () => {
    const letters = fc.constantFrom(
      ...'abcABCwéßяש019',
      ...' ,.;:()\'"%/+°–—!?=-',
      ...'*_`#>|[]<&~\\@$^{}',
      '\n',
      '\n\n',
      '  ',
      '\t',
      'www.',
      '://',
      'http',
      '. ',
      '\u00A0',
      '1. ',
      '- ',
      '---',
    );
    let taken = 0;
    const same = (text: string): void => {
      const short = plainHtml(text);
      if (short === undefined) return;
      taken += 1;
      expect(short).toBe(note(text));
    };
    fc.assert(
      fc.property(
        fc.array(letters, { maxLength: 24 }).map((parts) => parts.join('')),
        same,
      ),
      { numRuns: 1500 },
    );
    // Mostly plain, so that the short way is truly walked.
    const plain = fc.constantFrom(...'abcdez ,.;:()\'"%/+°–—!?=-09', 'www', 'http', '\n', '\n\n');
    fc.assert(
      fc.property(
        fc.array(plain, { maxLength: 40 }).map((parts) => `a${parts.join('')}e`),
        same,
      ),
      { numRuns: 1500 },
    );
    expect(taken).toBeGreaterThan(300);
  });
});

describe('notes', () => {
  test('have lists, tables, emphasis and struck words', () => {
    expect(note('- one\n- *two*\n- ~~three~~')).toContain('<li><em>two</em></li>');
    expect(note('| a | b |\n|---|--:|\n| 1 | 2 |')).toContain('<td align="right">2</td>');
    expect(note('- [x] done\n- [ ] open')).toMatch(/☑.*done.*☐.*open/su);
  });

  test('headings become strong lines, for they stand within a page', () => {
    expect(note('# Loud\n\ntext')).toBe('<p><strong>Loud</strong></p>\n<p>text</p>');
  });

  test('raw HTML is dropped', () => {
    expect(note('before <b onclick="x()">bold</b> after')).toBe('<p>before bold after</p>');
    expect(note('<script>alert(1)</script>')).toBe('');
  });

  test('links go to http, https, mail or a place beside the site only', () => {
    expect(note('[a](https://example.org/x)')).toBe('<p><a href="https://example.org/x" rel="noreferrer">a</a></p>');
    expect(note('[a](mailto:ana@example.org)')).toContain('href="mailto:ana@example.org"');
    expect(note('[a](photos/bin-4.jpg)')).toBe('<p><a href="../photos/bin-4.jpg">a</a></p>');
    for (const bad of [
      'javascript:alert(1)',
      'JAVASCRIPT:x',
      'data:text/html,x',
      'file:///etc/passwd',
      '//host/x',
      '/etc',
      '#main',
      'vbscript:x',
    ]) {
      expect(note(`[a](${bad})`), bad).toBe('<p>a</p>');
    }
  });

  test('an image is a link, and nothing is loaded', () => {
    expect(note('![must](https://example.org/a.png)')).toBe(
      '<p><a href="https://example.org/a.png" rel="noreferrer">must</a></p>',
    );
    expect(note('![](data:image/png;base64,AAAA)')).toBe('<p>data:image/png;base64,AAAA</p>');
  });

  test('a footnote leaves no anchor that a second note could repeat', () => {
    expect(note('text[^1]\n\n[^1]: foot')).not.toMatch(/\sid=|href="#/u);
  });

  test('no text makes an element or a link that is not allowed', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 60 }), (text) => {
        expect(note(text)).not.toMatch(/<(?:script|img|iframe|style|input|svg)|javascript:[^<]*">/iu);
      }),
    );
  });
});

test('explanations keep headings below the page’s own, and link to pages', async () => {
  const explain = await markdownFor(['## Wrong\n\nsee [other](line-repeated.md)'], {
    base: '',
    headings: true,
    pages: true,
  });
  expect(explain('# Title\n\n## Wrong\n\nsee [other](line-repeated.md#x)')).toBe(
    '<h2>Title</h2>\n<h2>Wrong</h2>\n<p>see <a href="line-repeated.html#x">other</a></p>',
  );
});

test('a text nobody announced is shown as it is written', async () => {
  const plainOnly = await markdownFor(['plain words'], NOTE);
  expect(plainOnly('*x* <b>')).toBe('<p>*x* &lt;b&gt;</p>');
});
