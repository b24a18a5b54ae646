// JSON values: what they are, copies, pointers, and the text of a new file.

export const copy = (v) => (v === undefined ? undefined : JSON.parse(JSON.stringify(v)));
export const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);
export const isList = Array.isArray;
export const isObject = (v) => v !== null && typeof v === 'object' && !isList(v);
// What may be one or a list of them, as a list.
export const asList = (v) => (v === undefined ? [] : isList(v) ? v : [v]);
// A JSON pointer's keys, "/dishes/0"; and what stands there, or undefined.
export const keysOf = (pointer) => pointer.split('/').slice(1).map((k) => k.replace(/~1/g, '/').replace(/~0/g, '~'));
export const reach = (value, pointer) => keysOf(pointer).reduce((o, k) => o?.[k], value);
// A key as a part of a JSON pointer.
export const token = (name) => String(name).replace(/~/g, '~0').replace(/\//g, '~1');

// A new file's text: a key a line, a stage or a dish a line. `comments`: lines to stand above the file's
// value ('') or an entry of one of its lists ('/stages/2').
export function written(value, comments = new Map()) {
  const one = (v) => (isList(v) ? `[${v.map(one).join(', ')}]`
    : isObject(v) ? `{${Object.entries(v).filter(([, x]) => x !== undefined).map(([k, x]) => `${JSON.stringify(k)}: ${one(x)}`).join(', ')}}`
      : JSON.stringify(v));
  const remarks = (at, pad) => (comments.get(at) ?? []).map((line) => `${pad}// ${line.replace(/\s+/g, ' ')}\n`).join('');
  const open = (v, pad, at) => {
    if (isList(v) && v.length && v.every(isObject))
      return `[\n${v.map((x, i) => `${remarks(`${at}/${i}`, `${pad}  `)}${pad}  ${one(x)}`).join(',\n')}\n${pad}]`;
    if (isObject(v) && one(v).length > 90)
      return `{\n${Object.entries(v).filter(([, x]) => x !== undefined).map(([k, x]) => `${pad}  ${JSON.stringify(k)}: ${open(x, `${pad}  `, `${at}/${token(k)}`)}`).join(',\n')}\n${pad}}`;
    return one(v);
  };
  return `${remarks('', '')}{\n${Object.entries(value).filter(([, v]) => v !== undefined).map(([k, v]) => `  ${JSON.stringify(k)}: ${open(v, '  ', `/${token(k)}`)}`).join(',\n')}\n}\n`;
}
