/** Things told together: by a key, in the order in which the keys first come. */

export function grouped<T, K>(items: Iterable<T>, keyOf: (item: T) => K): Map<K, T[]> {
  const groups = new Map<K, T[]>();
  for (const item of items) {
    const key = keyOf(item);
    const already = groups.get(key);
    if (already === undefined) groups.set(key, [item]);
    else already.push(item);
  }
  return groups;
}
