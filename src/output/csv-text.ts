// Comma-separated values after RFC 4180 (Shafranovich, 2005): comma, CRLF, quotes only where they are needed.

const NEEDS_QUOTES = /[",\r\n]/;

/** One field: quoted, with quotes doubled, where it holds a comma, a quote or a line break. */
const fieldText = (field: string): string => (NEEDS_QUOTES.test(field) ? `"${field.replaceAll('"', '""')}"` : field);

/** A whole file: the header, then the rows, every line ended by CRLF. */
export function csvText(header: readonly string[], rows: readonly (readonly string[])[]): string {
  const lines = [header, ...rows].map((row) => row.map(fieldText).join(','));
  return `${lines.join('\r\n')}\r\n`;
}
