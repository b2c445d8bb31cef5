/** Text made safe to stand in a page, and set apart where it runs the other way. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { escapeAsWritten, escapeText } from '../../src/report/escape.ts';

describe('words from right to left', () => {
  test('are set apart, so that a figure stays behind the name it belongs to', () => {
    expect(escapeText('Racked כרם to T4: 780 L')).toBe('Racked \u2068כרם\u2069 to T4: 780 L');
    expect(escapeText('كرم-2: 12 kg')).toBe('\u2068كرم-2\u2069: 12 kg');
  });

  test('stay together where several follow one another', () => {
    expect(escapeText('the כרם הגפן, north')).toBe('the \u2068כרם הגפן\u2069, north');
  });

  test('are left alone where a line is shown as it is written', () => {
    expect(escapeAsWritten('rack כרם to "<T4>"')).toBe('rack כרם to &quot;&lt;T4&gt;&quot;');
  });

  test('every mark that opens is closed, whatever the text; a mark of the text itself is shown by its number', () => {
    const letters = fc.array(
      fc.constantFrom('a', 'ב', 'ع', '7', ' ', '-', '<', "'", '\u2068', '\u2069', '\u202E', '\n'),
    );
    fc.assert(
      fc.property(letters, (parts) => {
        let open = 0;
        for (const letter of escapeText(parts.join(''))) {
          if (letter === '\u2068') open += 1;
          if (letter === '\u2069') open -= 1;
          expect(open === 0 || open === 1).toBe(true);
        }
        expect(open).toBe(0);
      }),
    );
  });

  test('other scripts are not marked', () => {
    for (const text of ['Grüner Berg', 'виноград', '葡萄園', 'Αμπέλι 3']) expect(escapeText(text)).toBe(text);
  });
});

test('a long text takes time in step with its length', () => {
  const text = `${'a'.repeat(200_000)} ב`;
  const start = performance.now();
  escapeText(text);
  expect(performance.now() - start).toBeLessThan(1000);
});
