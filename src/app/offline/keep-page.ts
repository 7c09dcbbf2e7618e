// Has the page kept for use without a network, once it stands and the person has it.

export function keepPage(): void {
  if (!import.meta.env.PROD || !('serviceWorker' in navigator)) return;
  const register = () => {
    // A page that cannot be kept works as before.
    navigator.serviceWorker.register(new URL('./service-worker.js', document.baseURI)).catch(() => undefined);
  };
  if (document.readyState === 'complete') register();
  else addEventListener('load', register, { once: true });
}
