/** The cells of a block that was copied from a spreadsheet, row by row; null where it is one cell. */
export function pastedBlock(text: string): string[][] | null {
  if (!/[\t\n]/.test(text.trim())) return null;
  return text
    .replace(/\r\n?/g, '\n')
    .replace(/\n$/, '')
    .split('\n')
    .map((line) => line.split('\t'));
}
