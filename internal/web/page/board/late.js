// Late tells once something has been owed for a while, and once it is there.

const patience = 150; // ms

export class Late {
  #told = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;

  /** @param {(is: boolean) => void} tell */
  constructor(tell) {
    this.tell = tell;
  }

  /** @param {boolean} is */
  owed(is) {
    if (!is) {
      this.end();
      this.#say(false);
    } else if (!this.#told && !this.#timer) {
      this.#timer = setTimeout(() => this.#say(true), patience);
    }
  }

  end() {
    clearTimeout(this.#timer);
    this.#timer = undefined;
  }

  /** @param {boolean} is */
  #say(is) {
    this.#timer = undefined;
    if (is !== this.#told) this.tell(is);
    this.#told = is;
  }
}
