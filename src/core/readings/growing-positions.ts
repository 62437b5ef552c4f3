/** A list of positions that grows; ordinary arrays of a million numbers cost more than the loop that fills them. */
export class GrowingPositions {
  private values = new Uint32Array(1024);
  private length = 0;

  push(value: number): void {
    if (this.length === this.values.length) {
      const wider = new Uint32Array(this.length * 2);
      wider.set(this.values);
      this.values = wider;
    }
    this.values[this.length++] = value;
  }

  done(): Uint32Array {
    return this.values.slice(0, this.length);
  }
}
