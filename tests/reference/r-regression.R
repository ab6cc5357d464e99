# Reads a CSV (set, lower, upper, x1, x2, cluster) named on the command line; writes one line a set: set, the three coefficients, their plain standard errors, their
# cluster-robust ones (scores differentiated numerically from the likelihood written out), shape, log-likelihood, warned.
suppressMessages(library(survival))
rows <- read.csv(commandArgs(trailingOnly = TRUE)[1])

# Log-likelihood of each row at (three coefficients, log of 1 / shape), by R's own distribution functions.
each <- function(p, d) {
  shape <- exp(-p[4]); scale <- exp(p[1] + p[2] * d$x1 + p[3] * d$x2)
  H <- function(t) -pweibull(t, shape, scale, lower.tail = FALSE, log.p = TRUE)
  ifelse(d$upper == Inf, -H(d$lower), ifelse(d$lower == d$upper, dweibull(d$lower, shape, scale, log = TRUE),
    -H(d$lower) + log(-expm1(-(H(ifelse(d$upper == Inf, 0, d$upper)) - H(d$lower))))))
}

options(warn = -1)
results <- lapply(split(rows, rows$set), function(d) {
  warned <- FALSE
  d$to <- ifelse(is.infinite(d$upper), NA, d$upper)
  fit <- try(withCallingHandlers(
    survreg(Surv(lower, to, type = "interval2") ~ x1 + x2, data = d, dist = "weibull",
      control = survreg.control(rel.tolerance = 1e-14, maxiter = 500)),
    warning = function(w) { warned <<- TRUE; invokeRestart("muffleWarning") }), silent = TRUE)
  if (inherits(fit, "try-error")) return(NULL)
  p <- c(coef(fit), log(fit$scale))
  h <- 1e-5
  score <- sapply(1:4, function(j) { step <- replace(rep(0, 4), j, h); (each(p + step, d) - each(p - step, d)) / (2 * h) })
  robust <- fit$var %*% crossprod(rowsum(score, d$cluster)) %*% fit$var
  numbers <- c(coef(fit), sqrt(diag(fit$var))[1:3], sqrt(diag(robust))[1:3], 1 / fit$scale, fit$loglik[2])
  paste(c(d$set[1], sprintf("%.17g", numbers), as.integer(warned)), collapse = ",")
})
writeLines(unlist(results))
