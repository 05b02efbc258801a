/** Lays the data of an engine where its memory begins, before it runs: the build took them out of its code (practice-site/apart.js). */
export function lay(data: Uint8Array, instance: WebAssembly.Instance): void {
  new Uint8Array((instance.exports['mem'] as WebAssembly.Memory).buffer).set(data)
}
