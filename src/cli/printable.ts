// Text from files, made fit for a terminal: names and titles may hold characters that would move its cursor.

/** The text without control characters; line breaks stay where `lines` is true, else they become blanks. */
export function printable(text: string, lines: boolean): string {
  return text.replace(/\p{Cc}+/gu, (found) => (lines && found.includes('\n') ? found.replace(/[^\n]/g, '') : ' '));
}
