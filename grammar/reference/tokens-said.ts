/** How the reference shows each token: a sign or word as it is written, or the name of a kind of token with what it is. */

export interface TokenSaid {
  /** What stands in a diagram and in EBNF. */
  readonly text: string;
  /** True where the text is what is typed; false where it names a kind. */
  readonly literal: boolean;
  /** For kinds: what it is, in plain words. */
  readonly say?: string;
}

const typed = (text: string): TokenSaid => ({ text, literal: true });
const kind = (text: string, say: string): TokenSaid => ({ text, literal: false, say });

/** By the name the lexer gives the token. */
export const TOKENS_SAID: Readonly<Record<string, TokenSaid>> = {
  Remark: kind('REMARK', '`--` or `—` with blanks around it, and the rest of the line'),
  Code: kind(
    'CODE',
    'after `tag`, `batch`, `code` or `paper`: the characters up to a blank or a comma, kept as written',
  ),
  Date: kind('DATE', 'a day: `2026-09-14`'),
  Time: kind('TIME', 'a time of day: `07:40`; `+00:40` is the next morning'),
  Number: kind('NUMBER', 'digits with at most one decimal point, and a sign after a blank'),
  DotDot: typed('..'),
  Comma: typed(','),
  Open: typed('('),
  Close: typed(')'),
  Mark: kind('MARK', '`~` an estimate, `<` below and `>` above what can be measured'),
  Ask: typed('?'),
  Dash: typed('-'),
  String: kind('STRING', 'text in double quotes'),
  Word: kind('WORD', 'a letter of any script, then letters, digits, `_`, and single `-` or `/`'),
  Cross: typed('x'),
  Verb: kind('VERB', 'one of the verbs, at the start of the line'),
  Struck: typed('struck'),
  Link: kind('LINK', 'one of the links'),
  Clause: kind('CLAUSE', 'one of the clause words'),
  Quant: kind('QUANT', '`all`, `each` or `rest`'),
  Now: typed('now'),
  Unit: kind('UNIT', 'a unit, after a number'),
};

/** How a token is shown; a token the table lacks is shown by its own name. */
export const tokenSaid = (name: string): TokenSaid => TOKENS_SAID[name] ?? { text: name, literal: false };
