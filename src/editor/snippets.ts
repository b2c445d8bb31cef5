/** Lines to fill in, made of a frame's own examples: what changes from line to line is a place to type at. */
import { FRAMES } from '../../grammar/frames.ts';
import {
  CodeToken,
  cut,
  DotDotToken,
  endOf,
  NumberToken,
  RemarkToken,
  StringToken,
  TimeToken,
  UnitToken,
  WordToken,
} from '../../grammar/tokens.ts';
import type { VerbWord } from '../../grammar/words.ts';

const escaped = (text: string): string => text.replace(/[\\$}]/g, '\\$&');

/** An example whose words are all plain: no remark, no time, no code. */
function plainExample(verb: VerbWord): string | undefined {
  return FRAMES[verb].examples.find((example) => {
    const { tokens, comments } = cut(example);
    const first = tokens[0]?.startOffset === 0 && tokens[0].tokenType !== TimeToken;
    return (
      first &&
      comments.length === 0 &&
      !tokens.some(({ tokenType }) => tokenType === RemarkToken || tokenType === CodeToken)
    );
  });
}

/** The example as an editor's snippet, and as it stands; nothing where no example is plain. */
export function snippetOf(verb: VerbWord): { readonly text: string; readonly snippet: string } | undefined {
  const text = plainExample(verb);
  if (text === undefined) return undefined;
  const { tokens } = cut(text);
  let snippet = '';
  let at = 0;
  let number = 0;
  for (let i = 0; i < tokens.length; i++) {
    const token = tokens[i];
    if (token === undefined) break;
    let end = endOf(token);
    const type = token.tokenType;
    const changes = type === WordToken || type === NumberToken || type === StringToken || type === UnitToken;
    snippet += escaped(text.slice(at, token.startOffset));
    if (!changes || type === UnitToken) snippet += escaped(token.image);
    else {
      // the two ends of a range are typed as one
      const last = tokens[i + 1]?.tokenType === DotDotToken ? tokens[i + 2] : undefined;
      if (last !== undefined) {
        end = endOf(last);
        i += 2;
      }
      number++;
      const quoted = type === StringToken ? '"' : '';
      const inner = text.slice(token.startOffset + quoted.length, end - quoted.length);
      snippet += `${quoted}\${${number}:${escaped(inner)}}${quoted}`;
    }
    at = end;
  }
  return { text, snippet: snippet + escaped(text.slice(at)) };
}
