import { type DragEvent, useState } from 'react';

/** What a row of a list that is ordered by dragging carries. */
interface RowProps {
  readonly draggable: true;
  readonly 'data-over': 'before' | 'after' | undefined;
  onDragStart(event: DragEvent): void;
  onDragOver(event: DragEvent): void;
  onDragLeave(): void;
  onDragEnd(): void;
  onDrop(event: DragEvent): void;
}

/** Orders a list by pointer; the same is done with the keyboard through buttons. */
export function useDragOrder(onMove: (from: number, to: number) => void): {
  rowProps(index: number): RowProps;
} {
  const [from, setFrom] = useState<number | null>(null);
  const [over, setOver] = useState<number | null>(null);
  return {
    rowProps: (index) => ({
      draggable: true,
      'data-over':
        from !== null && over === index && from !== index
          ? from < index
            ? 'after'
            : 'before'
          : undefined,
      onDragStart(event) {
        event.dataTransfer.effectAllowed = 'move';
        setFrom(index);
      },
      onDragOver(event) {
        if (from === null) return;
        event.preventDefault();
        setOver(index);
      },
      onDragLeave: () => setOver(null),
      onDragEnd() {
        setFrom(null);
        setOver(null);
      },
      onDrop(event) {
        event.preventDefault();
        if (from !== null && from !== index) onMove(from, index);
        setFrom(null);
        setOver(null);
      },
    }),
  };
}
