// The page's data as arrays.

function bytesOf(base64) {
  const text = atob(base64);
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i += 1) bytes[i] = text.charCodeAt(i);
  return bytes.buffer;
}

/** Float32 triples [m] from base64. */
export function pointsOf(base64) {
  return new Float32Array(bytesOf(base64));
}

/** Triples of directions in steps of 1/127, from base64. */
export function sidesOf(base64) {
  return new Int8Array(bytesOf(base64));
}

/** Indices of a mesh's triangles. */
export function facesOf(mesh) {
  const bytes = bytesOf(mesh.faces);
  return mesh.bits === 16 ? new Uint16Array(bytes) : new Uint32Array(bytes);
}

/** What stands in the page's data element. */
export function readData() {
  return JSON.parse(document.getElementById("page-data").textContent);
}

/** Names in an attribute, one a line. */
export function namesIn(text) {
  return text ? text.split("\n") : [];
}
