import { describe, expect, it } from 'vitest';
import { decodeFrame, encodeFrame, holdsArrays } from '#core/contract/framing.ts';

const through = (value: unknown): unknown => {
  const bytes = encodeFrame(value);
  // A copy: the message may arrive in a buffer of its own.
  return decodeFrame(bytes.slice().buffer as ArrayBuffer);
};

describe('framing', () => {
  it('gives back every class of array, nested values and text beyond ASCII', () => {
    const value = {
      say: 'T-305: 7.32 N·m − “quoted” \u2028 😀 "@000000000"x',
      f64: new Float64Array([1.5, Number.NaN, -0]),
      deep: [{ u8: new Uint8Array([1, 2, 255]) }, { i16: new Int16Array([-5]) }],
      f32: new Float32Array([0.5]),
      i32: new Int32Array([-1, 2]),
      u32: new Uint32Array([4_294_967_295]),
      u16: new Uint16Array([65_535]),
      nothing: null,
      empty: new Float64Array(0),
    };
    expect(through(value)).toEqual(value);
  });

  it('begins each array at a multiple of eight', () => {
    const bytes = encodeFrame({ a: new Uint8Array([1]), b: new Float64Array([2]) });
    const length = new DataView(bytes.buffer).getUint32(0, true);
    const json = JSON.parse(String.fromCharCode(...bytes.subarray(4, 4 + length))) as {
      a: { at: number };
      b: { at: number };
    };
    expect(json.a.at % 8).toBe(0);
    expect(json.b.at % 8).toBe(0);
    expect(bytes.byteLength % 8).toBe(0);
  });

  it('sends a view of a larger buffer as the part it shows', () => {
    const all = new Float64Array([1, 2, 3, 4]);
    expect(through({ part: all.subarray(1, 3) })).toEqual({ part: new Float64Array([2, 3]) });
  });

  it('refuses a message that is cut short', () => {
    const bytes = encodeFrame({ a: new Float64Array(10) });
    expect(() => decodeFrame(bytes.slice(0, 3).buffer as ArrayBuffer)).toThrow(RangeError);
    expect(() => decodeFrame(bytes.slice(0, bytes.length - 16).buffer as ArrayBuffer)).toThrow(RangeError);
  });

  it('knows whether a value has to be framed', () => {
    expect(holdsArrays({ a: [{ b: 1 }] })).toBe(false);
    expect(holdsArrays({ a: [{ b: new Uint8Array(1) }] })).toBe(true);
  });
});
