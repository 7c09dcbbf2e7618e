// Reads the part of XML 1.0 that model files use: elements, attributes, comments, declarations, character references. Text
// between elements is passed over; document types and entities of a file's own are refused.
import { InputError } from '../model/input-error.ts';

export interface XmlElement {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: readonly XmlElement[];
  /** Line on which it opens, 1-based. */
  readonly line: number;
}

const NAME = /[A-Za-z_:][-A-Za-z0-9_:.]*/y;
const ENTITIES: ReadonlyMap<string, string> = new Map([
  ['lt', '<'],
  ['gt', '>'],
  ['amp', '&'],
  ['quot', '"'],
  ['apos', "'"],
]);
/** Deeper than any model file nests its elements. */
const DEEPEST = 200;

/** The root element; throws InputError `xml` with file and line where the text is not such XML. */
export function readXml(text: string, file: string): XmlElement {
  let at = text.startsWith('\uFEFF') ? 1 : 0;

  const fail = (sentence: string, where = at): never => {
    throw new InputError('xml', sentence, `${file}, line ${lineOf(where)}`, 'check that the file is well-formed XML');
  };
  const lineOf = (offset: number): number => text.slice(0, offset).split('\n').length;
  /** Line of an offset no smaller than the last one asked for: counted on from there. */
  let counted = 0;
  let line = 1;
  const nextLine = (offset: number): number => {
    for (; counted < offset; counted++) if (text[counted] === '\n') line++;
    return line;
  };
  const skipTo = (end: string, what: string): void => {
    const found = text.indexOf(end, at);
    if (found < 0) fail(`${what} does not end`);
    at = found + end.length;
  };
  /** Passes over text, comments and declarations up to the next tag of an element. */
  const skipMisc = (): void => {
    for (;;) {
      const open = text.indexOf('<', at);
      at = open < 0 ? text.length : open;
      if (text.startsWith('<!--', at)) skipTo('-->', 'a comment');
      else if (text.startsWith('<![CDATA[', at)) skipTo(']]>', 'a character section');
      else if (text.startsWith('<?', at)) skipTo('?>', 'a declaration');
      else if (text.startsWith('<!', at)) fail('document types are not read here');
      else return;
    }
  };
  const skipSpace = (): boolean => {
    const start = at;
    while (at < text.length && ' \t\r\n'.includes(text[at])) at++;
    return at > start;
  };
  const name = (): string => {
    NAME.lastIndex = at;
    const found = NAME.exec(text)?.[0] ?? fail('a name is missing');
    at += found.length;
    return found;
  };
  const decode = (value: string): string =>
    value.replace(/&([^;]*);?/g, (whole, key: string) => {
      const known = ENTITIES.get(key);
      if (known !== undefined) return known;
      const code = /^#x[0-9a-fA-F]{1,6}$/.test(key)
        ? Number.parseInt(key.slice(2), 16)
        : /^#[0-9]{1,7}$/.test(key)
          ? Number.parseInt(key.slice(1), 10)
          : -1;
      return code > 0 && code <= 0x10ffff ? String.fromCodePoint(code) : fail(`${whole} is no known character`);
    });
  const attributes = (): Map<string, string> => {
    const found = new Map<string, string>();
    while (skipSpace() && !'/>'.includes(text[at] ?? '>')) {
      const key = name();
      skipSpace();
      if (text[at] !== '=') fail(`the attribute "${key}" has no value`);
      at++;
      skipSpace();
      const quote = text[at];
      if (quote !== '"' && quote !== "'") fail(`the value of "${key}" is not in quotes`);
      const end = text.indexOf(quote, at + 1);
      if (end < 0) fail(`the value of "${key}" does not end`);
      if (found.has(key)) fail(`the attribute "${key}" stands twice`);
      found.set(key, decode(text.slice(at + 1, end)));
      at = end + 1;
    }
    return found;
  };
  const element = (depth: number): XmlElement => {
    if (depth > DEEPEST) fail('elements are nested too deeply');
    const start = at;
    const opened = nextLine(start);
    at++;
    const own = name();
    const given = attributes();
    const children: XmlElement[] = [];
    if (text.startsWith('/>', at)) {
      at += 2;
    } else {
      if (text[at] !== '>') fail(`the tag <${own}> does not end`, start);
      at++;
      for (skipMisc(); !text.startsWith('</', at); skipMisc()) {
        if (at >= text.length) fail(`the element <${own}> does not end`, start);
        children.push(element(depth + 1));
      }
      at += 2;
      const closing = name();
      if (closing !== own) fail(`</${closing}> closes <${own}>`);
      skipSpace();
      if (text[at] !== '>') fail(`the tag </${own}> does not end`);
      at++;
    }
    return { name: own, attributes: given, children, line: opened };
  };

  skipMisc();
  if (at >= text.length) fail('there is no element');
  const root = element(0);
  skipMisc();
  if (at < text.length) fail('something follows the root element');
  return root;
}
