// Columns of text for a terminal, numbers to the right.

const NUMBER = /^-?[\d.]+$/;

/** Lines of a table, two spaces in, columns two spaces apart; a column of numbers is set to the right. */
export function alignedTable(head: readonly string[], rows: readonly (readonly string[])[]): readonly string[] {
  const widths = head.map((title, k) => Math.max(title.length, ...rows.map((row) => (row[k] ?? '').length)));
  const right = head.map((_, k) => rows.length > 0 && rows.every((row) => NUMBER.test(row[k] ?? '')));
  const line = (cells: readonly string[]): string =>
    `  ${cells.map((cell, k) => (right[k] ? cell.padStart(widths[k] as number) : cell.padEnd(widths[k] as number))).join('  ')}`.trimEnd();
  return [line(head), ...rows.map(line)];
}
