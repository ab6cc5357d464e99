# Reads a CSV (kind, a, b, c, d, x, y) named on the command line; writes one line a row: the figures R gives for it.
# ratio: poisson.test; ranks: wilcox.test (exact where nothing ties, normal with correction beyond 50); fisher: fisher.test; strata: mantelhaen.test.
rows <- read.csv(commandArgs(trailingOnly = TRUE)[1], colClasses = c("character", rep("character", 6)))
values <- function(text) as.numeric(strsplit(text, " ")[[1]])
for (i in seq_len(nrow(rows))) {
  r <- rows[i, ]
  n <- suppressWarnings(as.numeric(c(r$a, r$b, r$c, r$d)))
  line <- switch(r$kind,
    ratio = {
      two <- poisson.test(n[1:2], n[3:4], conf.level = 0.9)
      c(two$conf.int, poisson.test(n[1:2], n[3:4], alternative = "less")$p.value)
    },
    ranks = {
      x <- values(r$x); y <- values(r$y)
      exact <- length(x) + length(y) <= 50
      p <- function(alternative) wilcox.test(x, y, alternative = alternative, exact = exact)$p.value
      c(unname(wilcox.test(x, y, exact = exact)$statistic), p("less"), p("greater"))
    },
    fisher = fisher.test(matrix(n, 2), alternative = "greater")$p.value,
    strata = {
      tables <- array(values(r$x), c(2, 2, length(values(r$x)) / 4))
      m <- mantelhaen.test(tables, conf.level = 0.9, correct = FALSE)
      c(unname(m$estimate), m$conf.int, mantelhaen.test(tables)$p.value)
    })
  cat(sprintf("%.17g", line), sep = ",")
  cat("\n")
}
