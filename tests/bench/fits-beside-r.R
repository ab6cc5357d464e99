# Reads a CSV (set, lower, upper) named on the command line, fits each set by survival::survreg as it comes, and writes one line:
# seconds of the fits alone, then the scale of each fit. R's own start and the reading of the file are not counted.
suppressMessages(library(survival))
rows <- read.csv(commandArgs(trailingOnly = TRUE)[1])
rows$from <- ifelse(rows$lower == 0, NA, rows$lower)
rows$to <- ifelse(is.infinite(rows$upper), NA, rows$upper)
sets <- split(rows, rows$set)
fit <- function(d) survreg(Surv(from, to, type = "interval2") ~ 1, data = d, dist = "weibull")
invisible(fit(sets[[1]])) # what R loads and compiles the first time is not counted either
started <- proc.time()[["elapsed"]]
fits <- lapply(sets, fit)
took <- proc.time()[["elapsed"]] - started
cat(c(took, sapply(fits, function(f) exp(unname(coef(f))))), sep = ",")
