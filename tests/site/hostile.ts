/** Texts that want to be more than text, and a journal that has one in every place a journal has room for it. */

export const HOSTILE: readonly string[] = [
  '<script>globalThis.trapped("script")</script>',
  '"><img src=x onerror=globalThis.trapped("attribute")>',
  "' onmouseover='globalThis.trapped(1)' autofocus onfocus='globalThis.trapped(2)",
  '</title><script>globalThis.trapped("title")</script>',
  '</svg></desc></text><svg onload=globalThis.trapped("svg")><animate onbegin=globalThis.trapped("smil") attributeName=x dur=1s>',
  '<svg><script>globalThis.trapped("svg script")</script><use href="data:image/svg+xml,x"/></svg>',
  '<math><mtext></form><form><mglyph><style></math><img src onerror=globalThis.trapped("mutation")>',
  'javascript:globalThis.trapped("link")',
  '[click](javascript:globalThis.trapped(1)) <javascript:globalThis.trapped(2)>',
  '[click](JaVaScRiPt:trapped(1)) [tab](java\tscript:trapped(1)) [ent](&#106;avascript:trapped(1)) [nl](java&NewLine;script:trapped(1))',
  '![x](https://example.org/pixel.png) ![y](data:image/svg+xml;base64,PHN2Zz4=) <img src="https://example.org/p">',
  '[data](data:text/html,<script>trapped(1)</script>) [file](file:///etc/passwd) [host](//example.org/x) [back](\\\\example.org\\x)',
  '[a]: javascript:trapped(1)\n\n[a] [b][a] ![c][a]',
  '<iframe src="https://example.org"></iframe><style>body{display:none}</style><link rel=stylesheet href=//example.org/x.css>',
  '<a href="javascript:trapped(1)" id="main">x</a> <form action="https://example.org"><input name=x></form>',
  '<base href="https://example.org/"><meta http-equiv=refresh content="0;url=https://example.org">',
  '<noscript><p title="</noscript><img src=x onerror=trapped(1)>">',
  '<template><script>trapped(1)</script></template><object data="data:text/html,x"></object><embed src="data:text/html,x">',
  // biome-ignore lint/suspicious/noTemplateCurlyInString: it is what a template might take for its own.
  '<%= it.cellar %> <%~ "raw" %> <% throw 1 %> ${1+1} {{7*7}}',
  '__proto__',
  'constructor',
  'hasOwnProperty',
  'toString',
  '../../x',
  '..\\..\\x',
  'a/../../../b',
  '..%2f..%2fx',
  'CON',
  '\u202Eevil\u202C \u2066hidden\u2069 \u0000 \ud800 \uFEFF',
  'כרם הגפן, 12 kg',
  'مزرعة-7',
  'A'.repeat(5000),
  'Ƶ'.repeat(300),
  '&lt;b&gt; &amp; &#60;script&#62;',
  '<!-- --><!--',
  '--!><script>trapped(1)</script>',
  '<![CDATA[<script>trapped(1)</script>]]>',
  ']]>',
  '\u2028trapped(1)\u2029',
  "'-trapped(1)-' \\'; trapped(1); // `",
];

/** What a line takes: a byte that is no text would make a finding of the whole line. */
const line = (text: string): string => text.replace(/[\n\r\0]/gu, ' ');
/** In quotes a name may hold anything but quotes; `kind` sets things of several kinds apart. */
const named = (text: string, kind = ''): string => `"${line(text).replaceAll('"', "'")}${kind}"`;
const note = (text: string): string =>
  text
    .split('\n')
    .map((one) => `    | ${one}`)
    .join('\n');

/** What a disk takes as the name of a file; the texts that climb stand for folders. */
function fileName(text: string): string {
  return text
    .replaceAll('\0', '')
    .replace(/\p{Surrogate}/gu, '')
    .replace(/\/+|\\+/gu, '∕')
    .slice(0, 60);
}

/** Files of a journal: each text is the name of a vessel, a lot, a block, a material and a file, and every note and remark. */
export function hostileJournal(): { readonly path: string; readonly text: string }[] {
  let turn = 0;
  // Every text comes to stand beside every other.
  const any = (): string => {
    turn += 7;
    return HOSTILE[turn % HOSTILE.length] ?? '';
  };
  const standing = [
    `cellar ${named(HOSTILE[0] ?? '')}`,
    ...HOSTILE.flatMap((text, at) => [
      `vessel ${named(text, ' v')} tank 9000 L, at ${named(any())}`,
      `block ${named(text, ' b')} ${named(any())} region ${named(any())} grower ${named(any())}`,
      `material ${named(text, ' m')} yeast allergen ${named(any())}`,
      `hand h${at} ${named(text)}`,
    ]),
  ];
  const days = HOSTILE.map((text, at) => {
    const name = named(text);
    return {
      path: `${fileName(text)}.cellar`,
      text: [
        `2026-09-${String((at % 28) + 1).padStart(2, '0')}`,
        note(any()),
        `06:0${at % 10} receive ${name} from ${named(text, ' b')}, net 1000 kg, tag ${named(any())} by h${at} -- ${line(any())}`,
        note(text),
        `07:00 crush ${name} to ${named(text, ' v')} 930 L by h${at}`,
        `08:00 inoculate ${name} with ${named(text, ' m')} 20 g/hL -- ${line(text)}`,
        `09:00 reading ${name} brix 24.1, temp 18 C using ${named(any())}`,
        `16:00 reading ${name} brix 23.8, temp 19 C -- ${line(any())}`,
        `18:00 reading ${name} brix 22.9, temp 21 C`,
        `19:00 ${line(text)}`,
        '',
      ].join('\n'),
    };
  });
  return [{ path: 'cellar.cellar', text: `${standing.join('\n')}\n` }, ...days];
}
