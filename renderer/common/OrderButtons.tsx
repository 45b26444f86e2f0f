/** Moves an item of a list to another place; the list itself is untouched. */
export function moveItem<T>(list: readonly T[], from: number, to: number): readonly T[] {
  const item = list[from];
  if (item === undefined || to < 0 || to >= list.length) return list;
  const rest = list.filter((_, index) => index !== from);
  return [...rest.slice(0, to), item, ...rest.slice(to)];
}

/** Order by keys or pointer: up, down, out. */
export function OrderButtons({
  what,
  index,
  count,
  onMove,
  onRemove,
}: {
  readonly what: string;
  readonly index: number;
  readonly count: number;
  readonly onMove: (to: number) => void;
  readonly onRemove: () => void;
}) {
  return (
    <span className="order-buttons">
      <button
        type="button"
        className="button-narrow"
        disabled={index === 0}
        aria-label={`Move ${what} up`}
        onClick={() => onMove(index - 1)}
      >
        <Arrow up />
      </button>
      <button
        type="button"
        className="button-narrow"
        disabled={index === count - 1}
        aria-label={`Move ${what} down`}
        onClick={() => onMove(index + 1)}
      >
        <Arrow up={false} />
      </button>
      <button type="button" aria-label={`Take ${what} out`} onClick={onRemove}>
        Take out
      </button>
    </span>
  );
}

function Arrow({ up }: { readonly up: boolean }) {
  return (
    <svg className="sign" viewBox="0 0 16 16" aria-hidden="true">
      <path
        d={up ? 'M8 13V3M3.5 7.5L8 3l4.5 4.5' : 'M8 3v10M3.5 8.5L8 13l4.5-4.5'}
        fill="none"
        stroke="currentColor"
        strokeWidth="1.75"
      />
    </svg>
  );
}
