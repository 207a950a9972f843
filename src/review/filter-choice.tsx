// One list of a filter form, with a first line for no choice. The queue and the log show their filters with it.

export function Choice(parts: {
  readonly name: string;
  readonly label: string;
  readonly words: Record<string, string>;
  readonly chosen: string | undefined;
  readonly hint?: string;
  /** The line for no choice. */
  readonly otherwise?: string;
}) {
  const { name, label, words, chosen, hint, otherwise = 'anything' } = parts;
  return (
    <div>
      <label for={name}>{label}</label>
      <select id={name} name={name} title={hint}>
        <option value="" selected={chosen === undefined}>
          {otherwise}
        </option>
        {Object.entries(words).map(([value, text]) => (
          <option value={value} selected={chosen === value}>
            {text}
          </option>
        ))}
      </select>
    </div>
  );
}
