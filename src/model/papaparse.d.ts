// What the kernel uses of papaparse. The package's own types name Node's, which the kernel must not see.
interface Papa {
  parse<T>(
    text: string,
    settings: { readonly skipEmptyLines: boolean },
  ): { readonly data: T[]; readonly errors: readonly { readonly type: string; readonly row?: number }[] };
}
declare const Papa: Papa;
// biome-ignore lint/style/noDefaultExport: that is what the package has.
export default Papa;
