import type { Instrumentation } from 'next'

/** Writes every fault of a request once, with the number the person sees on the apology page. */
export const onRequestError: Instrumentation.onRequestError = async (error, request, context) => {
  if (process.env.NEXT_RUNTIME !== 'nodejs') return
  const { log } = await import('@/lib/platform/logging/log')
  const digest = typeof error === 'object' && error !== null && 'digest' in error ? error.digest : undefined
  log.error(
    {
      err: error,
      digest,
      requestId: request.headers['x-request-id'],
      method: request.method,
      // Without what stands after the `?`, and without the token of a one-time link.
      path: request.path.split('?')[0]?.replace(/^\/(invitation|reset)\/.*/, '/$1/…'),
      route: context.routePath,
      kind: context.routeType,
    },
    'a request failed',
  )
}
