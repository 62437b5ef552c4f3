/**
 * How a message that holds typed arrays travels over HTTP.
 *
 * Layout: 4 bytes little-endian length of the JSON, the JSON, then the arrays, each beginning at a multiple of 8 from
 * the start of the message. In the JSON an array stands as `{"$array":"f64","at":<byte>,"n":<items>}`, `at` counted
 * from the start of the message. The JSON is plain ASCII (everything else escaped), so its length is known before the
 * arrays are placed. 100,000 points as JSON text would be 3.2 MB and a 125 ms task; this way they are copied once.
 */
const arrayKinds = {
  f64: Float64Array,
  f32: Float32Array,
  i32: Int32Array,
  u32: Uint32Array,
  u16: Uint16Array,
  i16: Int16Array,
  u8: Uint8Array,
} as const;

type ArrayCode = keyof typeof arrayKinds;
type FramedArray = InstanceType<(typeof arrayKinds)[ArrayCode]>;

/** Media type of a framed message; anything without typed arrays travels as `application/json`. */
export const framedType = 'application/octet-stream';

/** Whether a value holds a typed array anywhere, so that it has to be framed. */
export function holdsArrays(value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return false;
  if (codeOf(value) !== null) return true;
  for (const inner of Object.values(value)) if (holdsArrays(inner)) return true;
  return false;
}

/**
 * Writes a value as one framed message.
 *
 * @throws TypeError for a typed array of another class, which would otherwise arrive as an object of digits
 */
export function encodeFrame(value: unknown): Uint8Array {
  const arrays: FramedArray[] = [];
  // Places depend on the length of the JSON, which holds them: they are written with a fixed width.
  const json = ascii(
    JSON.stringify(value, function (this: unknown, _key, inner: unknown) {
      if (typeof inner !== 'object' || inner === null || !ArrayBuffer.isView(inner)) return inner;
      const code = codeOf(inner);
      if (code === null) throw new TypeError('a typed array of this class cannot be sent');
      arrays.push(inner as FramedArray); // codeOf has just named its class
      return { $array: code, at: placeholder(arrays.length - 1), n: (inner as FramedArray).length };
    }) ?? 'null',
  );
  let end = aligned(4 + json.length);
  const starts = arrays.map((array) => {
    const start = end;
    end = aligned(start + array.byteLength);
    return start;
  });
  const placed = json.replace(
    /\{"\$array":"(\w+)","at":"@(\d{9})"/g,
    (_all, code: string, index: string) =>
      `{"$array":"${code}","at":${String(starts[Number(index)] ?? 0).padStart(12, ' ')}`,
  );
  const bytes = new Uint8Array(end);
  new DataView(bytes.buffer).setUint32(0, placed.length, true);
  for (let i = 0; i < placed.length; i += 1) bytes[4 + i] = placed.charCodeAt(i);
  arrays.forEach((array, index) => {
    bytes.set(new Uint8Array(array.buffer, array.byteOffset, array.byteLength), starts[index]);
  });
  return bytes;
}

/**
 * Reads a framed message; the arrays are views into `buffer`, not copies.
 *
 * @param textOf the text of ASCII bytes, where the caller's platform has something faster
 * @throws RangeError when the message is cut short or names a place outside itself
 */
export function decodeFrame(buffer: ArrayBuffer, textOf: (ascii: Uint8Array) => string = inPieces): unknown {
  if (buffer.byteLength < 4) throw new RangeError('the message is cut short');
  const length = new DataView(buffer).getUint32(0, true);
  if (4 + length > buffer.byteLength) throw new RangeError('the message is cut short');
  return withArrays(JSON.parse(textOf(new Uint8Array(buffer, 4, length))), buffer);
}

function inPieces(ascii: Uint8Array): string {
  let text = '';
  // One call with a million arguments overflows the stack.
  for (let i = 0; i < ascii.length; i += 8192) text += String.fromCharCode(...ascii.subarray(i, i + 8192));
  return text;
}

/**
 * Puts the arrays in, in place: the value was parsed just now and nobody else has it. A walk of our own, since a reviver
 * given to `JSON.parse` takes ten times as long.
 */
function withArrays(value: unknown, buffer: ArrayBuffer): unknown {
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) {
    for (let i = 0; i < value.length; i += 1) {
      const inner: unknown = value[i];
      if (typeof inner === 'object' && inner !== null) value[i] = withArrays(inner, buffer);
    }
    return value;
  }
  const found = arrayIn(value, buffer);
  if (found) return found;
  // Any object out of JSON is a record of unknown values.
  const record = value as Record<string, unknown>;
  for (const key in record) {
    const inner = record[key];
    if (typeof inner === 'object' && inner !== null) record[key] = withArrays(inner, buffer);
  }
  return record;
}

function arrayIn(value: object, buffer: ArrayBuffer): object | null {
  if (!('$array' in value)) return null;
  const { $array, at, n } = value as { $array: unknown; at?: unknown; n?: unknown };
  if (typeof $array !== 'string' || !isArrayCode($array)) return null;
  const kind = arrayKinds[$array];
  if (
    typeof at !== 'number' ||
    typeof n !== 'number' ||
    at < 0 ||
    n < 0 ||
    at + n * kind.BYTES_PER_ELEMENT > buffer.byteLength
  ) {
    throw new RangeError('the message names an array outside itself');
  }
  return new kind(buffer, at, n);
}

const isArrayCode = (text: string): text is ArrayCode => text in arrayKinds;

function codeOf(value: object): ArrayCode | null {
  for (const [code, kind] of Object.entries(arrayKinds)) {
    // Object.entries widens the keys to string.
    if (value instanceof kind) return code as ArrayCode;
  }
  return null;
}

/** Twelve characters with the quotes, the width of the number that replaces it. */
const placeholder = (index: number): string => `@${String(index).padStart(9, '0')}`;

const aligned = (at: number): number => Math.ceil(at / 8) * 8;

const ascii = (json: string): string =>
  json.replace(/[\u007f-\uffff]/g, (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`);
