# Reads a CSV (set, lower, upper, truncatedAt, weight, cluster) named on the command line; writes one line a set:
# set, shape, scale, log-likelihood, se log scale, se log shape, covariance (log scale, log shape), cluster-robust se of both, warned.
# Sets without late entries go through survival::survreg, those with them through nlminb on the likelihood written out.
suppressMessages(library(survival))
rows <- read.csv(commandArgs(trailingOnly = TRUE)[1])

# Log-likelihood of each row at (log scale, log shape), by R's own distribution functions.
each <- function(p, d) {
  S <- function(t) pweibull(t, exp(p[2]), exp(p[1]), lower.tail = FALSE)
  H <- function(t) -pweibull(t, exp(p[2]), exp(p[1]), lower.tail = FALSE, log.p = TRUE)
  event <- ifelse(d$upper == Inf, 0, ifelse(d$lower == d$upper,
    dweibull(d$lower, exp(p[2]), exp(p[1]), log = TRUE) + H(d$lower), log(-expm1(-(H(ifelse(d$upper == Inf, 0, d$upper)) - H(d$lower))))))
  event - H(d$lower) + H(d$truncatedAt)
}

robust <- function(p, d, v) {
  h <- 1e-5
  score <- sapply(1:2, function(j) {
    step <- replace(c(0, 0), j, h)
    d$weight * (each(p + step, d) - each(p - step, d)) / (2 * h)
  })
  sqrt(diag(v %*% crossprod(rowsum(score, d$cluster)) %*% v))
}

results <- lapply(split(rows, rows$set), function(d) {
  warned <- FALSE
  if (all(d$truncatedAt == 0)) {
    d$from <- ifelse(d$lower == 0, NA, d$lower)
    d$to <- ifelse(is.infinite(d$upper), NA, d$upper)
    fit <- try(withCallingHandlers(
      survreg(Surv(from, to, type = "interval2") ~ 1, data = d, weights = weight, dist = "weibull",
        control = survreg.control(rel.tolerance = 1e-14, maxiter = 500)),
      warning = function(w) { warned <<- TRUE; invokeRestart("muffleWarning") }), silent = TRUE)
    if (inherits(fit, "try-error")) return(NULL)
    p <- c(unname(coef(fit)), -log(fit$scale))
    v <- matrix(c(fit$var[1, 1], -fit$var[1, 2], -fit$var[1, 2], fit$var[2, 2]), 2) # log(scale) in R is minus log shape
    loglik <- fit$loglik[2]
  } else {
    # In units of a typical life, so that the optimiser's steps fit; each exact density is then per unit of that, added back below.
    unit <- median(ifelse(is.finite(d$upper), d$upper, d$lower))
    exact <- sum(d$weight[d$lower == d$upper])
    d$lower <- d$lower / unit; d$upper <- d$upper / unit; d$truncatedAt <- d$truncatedAt / unit
    minus <- function(p) { value <- -sum(d$weight * each(p, d)); if (is.finite(value)) value else Inf }
    best <- NULL
    for (start in c(0, 0.7, 1.4)) {
      fit <- suppressWarnings(nlminb(c(0, start), minus, control = list(rel.tol = 1e-14, x.tol = 1e-12, iter.max = 1000, eval.max = 2000)))
      if (is.finite(fit$objective) && (is.null(best) || fit$objective < best$objective)) best <- fit
    }
    if (is.null(best)) return(NULL)
    p <- best$par
    v <- try(solve(optimHess(p, minus, control = list(ndeps = c(1e-4, 1e-4)))), silent = TRUE)
    if (inherits(v, "try-error")) return(NULL)
    loglik <- -best$objective - exact * log(unit)
  }
  r <- suppressWarnings(robust(p, d, v))
  if (any(d$truncatedAt > 0)) p[1] <- p[1] + log(unit)
  sprintf("%d,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%d", d$set[1], exp(p[2]), exp(p[1]), loglik,
    sqrt(v[1, 1]), sqrt(v[2, 2]), v[1, 2], r[1], r[2], as.integer(warned))
})
writeLines(unlist(results))
