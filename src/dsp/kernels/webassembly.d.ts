/** What is used here of WebAssembly: the compiler knows it only together with all of a browser. */
declare namespace WebAssembly {
  class Module {
    constructor(bytes: Uint8Array);
  }
  class Memory {
    readonly buffer: ArrayBuffer;
    constructor(of: { initial: number });
  }
  class Instance {
    readonly exports: Readonly<Record<string, unknown>>;
    constructor(module: Module, imports: { env: { memory: Memory } });
  }
}
