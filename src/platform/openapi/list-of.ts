import type { Type } from '@nestjs/common';
import { ApiProperty } from '@nestjs/swagger';

/** The shape of a page of `item`, for the reference. */
export function ListOf<Item>(item: Type<Item>): Type<{ items: Item[]; next: string | null }> {
  class ListPage {
    @ApiProperty({ type: [item] })
    items: Item[];

    @ApiProperty({ type: String, nullable: true, description: 'Cursor of the next page; null on the last one.' })
    next: string | null;
  }
  return ListPage;
}
