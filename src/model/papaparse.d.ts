// What the kernel uses of papaparse. The package's own types name Node's, which the kernel must not see.
declare module 'papaparse/papaparse.js' {
  interface Papa {
    parse<T>(
      text: string,
      settings: { readonly skipEmptyLines: boolean },
    ): { readonly data: T[]; readonly errors: readonly { readonly type: string; readonly row?: number }[] };
  }
  const papa: Papa;
  // biome-ignore lint/style/noDefaultExport: that is what the package has.
  export default papa;
}
