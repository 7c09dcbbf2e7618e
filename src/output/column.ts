// What a column of a table is: its name, how its values are written, what they mean. CSV and CSVW are made from it.
import { decimalText } from './decimal-text.ts';
import type { Quantity } from './quantity.ts';

interface ColumnBase<Row> {
  /** As in the header. */
  readonly name: string;
  readonly title: string;
  readonly description: string;
  /** Never empty. */
  readonly required: boolean;
  readonly value: (row: Row) => number | string;
}

/** A column of numbers, in the units inside; NaN is written as nothing. */
export interface NumberColumn<Row> extends ColumnBase<Row> {
  readonly quantity: Quantity;
  readonly value: (row: Row) => number;
}

/** A column of words. */
export interface TextColumn<Row> extends ColumnBase<Row> {
  readonly quantity: null;
  /** Regular expression that the whole field matches. */
  readonly pattern: string;
  readonly value: (row: Row) => string;
}

export type Column<Row> = NumberColumn<Row> | TextColumn<Row>;

/** The field of one column in one row. */
export function fieldOf<Row>(column: Column<Row>, row: Row): string {
  if (column.quantity === null) return column.value(row);
  return decimalText(column.value(row) * column.quantity.scale, column.quantity.decimals);
}
