// The version that plans carry; the same as in package.json, which a test holds it to.
export const VERSION = '0.1.0';
