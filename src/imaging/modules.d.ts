// Files that wrangler bundles as modules of their own (wrangler.toml, [[rules]]): worker.ts imports them.
declare module '@resvg/resvg-wasm/index_bg.wasm' {
  const engine: WebAssembly.Module;
  export default engine;
}
declare module '@expo-google-fonts/inter/500Medium/Inter_500Medium.ttf' {
  const font: ArrayBuffer;
  export default font;
}
