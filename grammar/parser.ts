/** The grammar of a line: one shape for everything, with actions that build the entry as the line is read. */
import { EmbeddedActionsParser, type IToken } from 'chevrotain';
import type { Amount, Cell, Item, Part, Phrase, Word } from './entries.ts';
import {
  AskToken,
  ClauseToken,
  CloseToken,
  CodeToken,
  CommaToken,
  CrossToken,
  canonical,
  DashToken,
  DateToken,
  DotDotToken,
  endOf,
  LinkToken,
  MarkToken,
  NowToken,
  NumberToken,
  OpenToken,
  QuantToken,
  RemarkToken,
  StringToken,
  StruckToken,
  TimeToken,
  TOKENS,
  UnitToken,
  VerbToken,
  WordToken,
} from './tokens.ts';
import type { ClauseWord, LinkWord, QuantWord, VerbWord } from './words.ts';

/** What the parser hands over: the line before its remark is trimmed and its times are checked. */
export interface RawEntry {
  readonly when: { readonly times: readonly IToken[]; readonly until: IToken | undefined } | undefined;
  readonly struck: boolean;
  readonly verb: VerbWord;
  readonly verbToken: IToken;
  readonly head: Item[];
  readonly phrases: Phrase[];
  readonly remark: IToken | undefined;
}
export interface RawRow {
  readonly name: Word;
  readonly cells: Cell[];
  readonly remark: IToken | undefined;
}
export interface RawDay {
  readonly date: IToken;
  readonly weekday: IToken | undefined;
  readonly remark: IToken | undefined;
}

const unitText = (token: IToken): string => token.image.replace(/\s+/g, ' ');

const word = (token: IToken, type: Word['type'], text: string, to?: IToken): Word =>
  to === undefined
    ? { type, text, start: token.startOffset, end: endOf(token) }
    : { type, text, to: to.image, start: token.startOffset, end: endOf(to) };

const number = (image: string): number => Number(image.startsWith('+') ? image.slice(1) : image);

class LineParser extends EmbeddedActionsParser {
  constructor() {
    super(TOKENS, { recoveryEnabled: false, maxLookahead: 2, skipValidations: true });
    this.performSelfAnalysis();
  }

  /** `2026-09-14 Mon -- first pick` */
  day = this.RULE('day', (): RawDay => {
    const date = this.CONSUME(DateToken);
    const weekday = this.OPTION(() => this.CONSUME(WordToken));
    const remark = this.OPTION1(() => this.CONSUME(RemarkToken));
    return { date, weekday, remark };
  });

  /** `07:40, 13:00 punch-down LS except B3 by cy -- foaming` */
  entry = this.RULE('entry', (): RawEntry => {
    const when = this.OPTION(() => this.SUBRULE(this.when));
    const struck = this.OPTION1(() => this.CONSUME(StruckToken)) !== undefined;
    const verbToken = this.CONSUME(VerbToken);
    const head = this.OPTION2(() => this.SUBRULE(this.items)) ?? [];
    const phrases: Phrase[] = [];
    this.MANY(() => {
      phrases.push(this.SUBRULE(this.phrase));
    });
    const remark = this.OPTION3(() => this.CONSUME(RemarkToken));
    return {
      when,
      struck,
      verb: this.ACTION(() => canonical(verbToken.image) as VerbWord),
      verbToken,
      head,
      phrases,
      remark,
    };
  });

  /** `07:40, 13:00` or `23:30..+00:30` */
  when = this.RULE('when', () => {
    const times = [this.CONSUME(TimeToken)];
    let until: IToken | undefined;
    this.OPTION(() => {
      this.OR([
        {
          ALT: () => {
            this.CONSUME(DotDotToken);
            until = this.CONSUME1(TimeToken);
          },
        },
        {
          ALT: () => {
            this.AT_LEAST_ONE(() => {
              this.CONSUME(CommaToken);
              times.push(this.CONSUME2(TimeToken));
            });
          },
        },
      ]);
    });
    return { times, until };
  });

  /** `, to T4 800 L` */
  phrase = this.RULE('phrase', (): Phrase => {
    this.OPTION(() => this.CONSUME(CommaToken));
    const token = this.OR([{ ALT: () => this.CONSUME(LinkToken) }, { ALT: () => this.CONSUME(ClauseToken) }]);
    const items = this.OPTION1(() => this.SUBRULE(this.items)) ?? [];
    return this.ACTION(() => ({
      word: canonical(token.image) as LinkWord | ClauseWord,
      wordEnd: endOf(token),
      start: token.startOffset,
      end: items[items.length - 1]?.end ?? endOf(token),
      items,
    }));
  });

  /** `FB-01..FB-03 225 L each, K5 50 L` */
  items = this.RULE('items', (): Item[] => {
    const items = [this.SUBRULE(this.item)];
    // a comma before a link or a clause begins the next phrase, not the next item
    this.MANY({
      GATE: () => {
        const next = this.LA(2).tokenType;
        return next !== LinkToken && next !== ClauseToken;
      },
      DEF: () => {
        this.CONSUME(CommaToken);
        items.push(this.SUBRULE1(this.item));
      },
    });
    return items;
  });

  /** `K5 50 L` */
  item = this.RULE('item', (): Item => {
    const parts: Part[] = [];
    this.AT_LEAST_ONE(() => {
      parts.push(this.SUBRULE(this.part));
    });
    const first = parts[0];
    return this.ACTION(() => ({
      parts: parts as [Part, ...Part[]],
      start: first?.start ?? 0,
      end: parts[parts.length - 1]?.end ?? 0,
    }));
  });

  private readonly partAlternatives: { ALT: () => Part }[] = [
    { ALT: () => this.SUBRULE(this.name) },
    { ALT: () => this.SUBRULE(this.quantity) },
    {
      ALT: () => {
        const token = this.CONSUME(AskToken);
        const unit = this.OPTION(() => this.CONSUME(UnitToken));
        return this.ACTION(() => ({
          ...bare(token, unit === undefined ? endOf(token) : endOf(unit)),
          ask: true as const,
          ...(unit === undefined ? {} : { unit: unitText(unit) }),
        }));
      },
    },
    {
      ALT: () => {
        const token = this.CONSUME(QuantToken);
        return this.ACTION(() => ({
          ...bare(token, endOf(token)),
          quant: token.image.toLowerCase() as QuantWord,
        }));
      },
    },
    {
      ALT: () => {
        const token = this.CONSUME(StringToken);
        return this.ACTION(() => word(token, 'string', token.image.slice(1, -1)));
      },
    },
    {
      ALT: () => {
        const token = this.CONSUME(CodeToken);
        return this.ACTION(() => word(token, 'code', token.image));
      },
    },
    {
      ALT: () => {
        const token = this.CONSUME(DateToken);
        return this.ACTION(() => word(token, 'date', token.image));
      },
    },
    {
      ALT: () => {
        const token = this.CONSUME(TimeToken);
        const to = this.OPTION1(() => {
          this.CONSUME(DotDotToken);
          return this.CONSUME1(TimeToken);
        });
        return this.ACTION(() => word(token, 'time', token.image, to));
      },
    },
  ];

  /** `B1..B15`, `"26SY-01"`, `~335 L`, `each` */
  part = this.RULE('part', (): Part => this.OR(this.partAlternatives));

  /** `B1..B15` */
  name = this.RULE('name', (): Word => {
    const token = this.CONSUME(WordToken);
    const to = this.OPTION(() => {
      this.CONSUME(DotDotToken);
      return this.CONSUME1(WordToken);
    });
    return this.ACTION(() => word(token, 'word', token.image, to));
  });

  /** `now ~335 L`, `22..30 C`, `12 x 750 mL`, `57 g (40 mg/L SO2)` */
  quantity = this.RULE('quantity', (): Amount => {
    const now = this.OPTION(() => this.CONSUME(NowToken));
    const mark = this.OPTION1(() => this.CONSUME(MarkToken));
    const first = this.CONSUME(NumberToken);
    let last = first;
    let high: string | undefined;
    let times: string[] | undefined;
    let unit: string | undefined;
    let check: Amount | undefined;
    let checkWord: string | undefined;
    this.OPTION2(() => {
      this.CONSUME(DotDotToken);
      last = this.CONSUME1(NumberToken);
      high = last.image;
    });
    this.MANY(() => {
      this.CONSUME(CrossToken);
      last = this.CONSUME2(NumberToken);
      if (times === undefined) times = [];
      times.push(last.image);
    });
    this.OPTION3(() => {
      last = this.CONSUME(UnitToken);
      unit = unitText(last);
    });
    this.OPTION4(() => {
      this.CONSUME(OpenToken);
      const figure = this.CONSUME3(NumberToken);
      const figureUnit = this.OPTION5(() => this.CONSUME1(UnitToken));
      const wordToken = this.OPTION6(() => this.CONSUME(WordToken));
      last = this.CONSUME(CloseToken);
      this.ACTION(() => {
        check = {
          ...bare(figure, endOf(figureUnit ?? figure)),
          text: figure.image,
          value: number(figure.image),
          ...(figureUnit === undefined ? {} : { unit: unitText(figureUnit) }),
        };
        checkWord = wordToken?.image;
      });
    });
    return this.ACTION(() => {
      const amount: { -readonly [K in keyof Amount]: Amount[K] } = {
        type: 'amount',
        now: now !== undefined,
        mark: (mark?.image ?? '') as Amount['mark'],
        text: first.image,
        value: number(first.image),
        start: (now ?? mark ?? first).startOffset,
        end: endOf(last),
      };
      if (high !== undefined) amount.high = high;
      if (times !== undefined) amount.times = times;
      if (unit !== undefined) amount.unit = unit;
      if (check !== undefined) amount.check = check;
      if (checkWord !== undefined) amount.checkWord = checkWord;
      return amount;
    });
  });

  /** `B3  24.3  -  -- float broke` */
  row = this.RULE('row', (): RawRow => {
    const name = this.OR([
      { ALT: () => this.SUBRULE(this.name) },
      {
        ALT: () => {
          const token = this.CONSUME(StringToken);
          return this.ACTION(() => word(token, 'string', token.image.slice(1, -1)));
        },
      },
    ]);
    const cells: Cell[] = [];
    this.MANY(() => {
      this.OPTION(() => this.CONSUME(CommaToken));
      cells.push(this.SUBRULE(this.cell));
    });
    const remark = this.OPTION1(() => this.CONSUME(RemarkToken));
    return { name, cells, remark };
  });

  cell = this.RULE(
    'cell',
    (): Cell =>
      this.OR([
        {
          ALT: () => {
            const token = this.CONSUME(DashToken);
            return this.ACTION(() => ({ type: 'dash' as const, start: token.startOffset, end: endOf(token) }));
          },
        },
        { ALT: () => this.SUBRULE(this.part) },
      ]),
  );
}

const bare = (token: IToken, endOffset: number): Amount => ({
  type: 'amount',
  now: false,
  mark: '',
  text: '',
  value: Number.NaN,
  start: token.startOffset,
  end: endOffset,
});

/** One parser for the process; giving it new input resets it. */
export const parser = new LineParser();
