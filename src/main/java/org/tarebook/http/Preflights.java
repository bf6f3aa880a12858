package org.tarebook.http;

import jakarta.servlet.FilterChain;
import jakarta.servlet.ServletException;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import org.springframework.beans.factory.annotation.Qualifier;
import org.springframework.core.Ordered;
import org.springframework.core.annotation.Order;
import org.springframework.http.HttpHeaders;
import org.springframework.stereotype.Component;
import org.springframework.web.cors.CorsUtils;
import org.springframework.web.filter.OncePerRequestFilter;
import org.springframework.web.servlet.HandlerExceptionResolver;
import org.tarebook.quantity.Quoted;

/**
 * Refuses, in words, browsers that ask whether a page of another origin may call the service. They
 * ask without a token and read no body; whoever looks for the cause does.
 */
@Component
@Order(Ordered.HIGHEST_PRECEDENCE)
class Preflights extends OncePerRequestFilter {

  private final HandlerExceptionResolver resolver;

  Preflights(@Qualifier("handlerExceptionResolver") HandlerExceptionResolver resolver) {
    this.resolver = resolver;
  }

  @Override
  protected void doFilterInternal(
      HttpServletRequest request, HttpServletResponse response, FilterChain chain)
      throws ServletException, IOException {
    if (!CorsUtils.isPreFlightRequest(request)) {
      chain.doFilter(request, response);
      return;
    }
    Problem refused =
        new Problem(
            ProblemType.NOT_ALLOWED,
            "A page of "
                + Quoted.of(request.getHeader(HttpHeaders.ORIGIN))
                + " may not call this service: it sends no CORS headers. Call it from a program, from"
                + " a page that the same host and port serve, or through a proxy that answers for"
                + " other origins.");
    resolver.resolveException(request, response, null, refused);
  }
}
