// The two functions of WebAssembly that the workers call: Node has them, its type declarations do not.
declare namespace WebAssembly {
  function compile(bytes: Uint8Array): Promise<Module>;
  function instantiate(module: Module, imports: object): Promise<object>;
}
