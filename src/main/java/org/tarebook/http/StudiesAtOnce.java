package org.tarebook.http;

import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.time.Duration;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpHeaders;
import org.springframework.web.servlet.HandlerInterceptor;
import org.tarebook.storage.Deadline;

/**
 * Lets a few studies run at once, each for a bounded time, so that they leave processors and
 * connections to terminals. The others wait a while, and then are refused.
 */
class StudiesAtOnce implements HandlerInterceptor {

  /** Addresses of studies, which may compute for seconds. */
  static final String[] PATHS = {
    "/api/v1/capability",
    "/api/v1/claims",
    "/api/v1/charts/*/*",
    "/api/v1/limit-sets/preview",
    "/api/v1/kept-studies/*/again",
    "/api/v1/reject-rates/**",
    "/api/v1/first-pass-yield",
    "/api/v1/short-runs",
    "/api/v1/run-lengths",
    "/api/v1/sample-sizes",
    "/api/v1/measuring-studies",
    "/api/v1/decision-risks",
    "/api/v1/cure-schedules/*/dry-runs"
  };

  private static final String RETRY_SECONDS = "5";

  private final Semaphore free;
  private final Duration longestWait;
  private final Duration longest;

  StudiesAtOnce(int most, Duration longestWait, Duration longest) {
    this.free = new Semaphore(most, true);
    this.longestWait = longestWait;
    this.longest = longest;
  }

  @Override
  public boolean preHandle(
      HttpServletRequest request, HttpServletResponse response, Object handler) {
    try {
      if (free.tryAcquire(longestWait.toMillis(), TimeUnit.MILLISECONDS)) {
        Deadline.begin(longest);
        return true;
      }
    } catch (InterruptedException stopping) {
      Thread.currentThread().interrupt();
    }
    response.setHeader(HttpHeaders.RETRY_AFTER, RETRY_SECONDS);
    throw new Problem(
        ProblemType.TOO_BUSY,
        "Other studies kept this one waiting for %d s. Ask again in %s s."
            .formatted(longestWait.toSeconds(), RETRY_SECONDS));
  }

  @Override
  public void afterCompletion(
      HttpServletRequest request,
      HttpServletResponse response,
      Object handler,
      @Nullable Exception failure) {
    Deadline.end();
    free.release();
  }
}
