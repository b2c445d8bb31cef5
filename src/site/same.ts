/** Whether two values say the same all through: plain data, lists, maps and sets, to any depth. */

/** `plain` gives the object behind one that stands for it. What is of a class of its own is the same as itself alone. */
export function sameThroughout(a: unknown, b: unknown, plain: (of: object) => object = (of) => of): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  const [x, y] = [plain(a), plain(b)];
  if (x === y) return true;
  if (Array.isArray(x)) {
    return Array.isArray(y) && x.length === y.length && x.every((one, i) => sameThroughout(one, y[i], plain));
  }
  if (x instanceof Map) {
    if (!(y instanceof Map) || x.size !== y.size) return false;
    // the order of a map shows where it is gone through
    const others = y.entries();
    for (const [key, value] of x) {
      const [otherKey, other] = others.next().value ?? [];
      if (!sameThroughout(key, otherKey, plain) || !sameThroughout(value, other, plain)) return false;
    }
    return true;
  }
  if (x instanceof Set) {
    return y instanceof Set && x.size === y.size && sameThroughout([...x], [...y], plain);
  }
  if (Object.getPrototypeOf(x) !== Object.prototype || Object.getPrototypeOf(y) !== Object.prototype) return false;
  const keys = Object.keys(x);
  if (keys.length !== Object.keys(y).length) return false;
  return keys.every(
    (key) =>
      key in y && sameThroughout((x as Record<string, unknown>)[key], (y as Record<string, unknown>)[key], plain),
  );
}
