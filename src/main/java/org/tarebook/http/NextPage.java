package org.tarebook.http;

import org.jspecify.annotations.Nullable;
import org.springframework.core.MethodParameter;
import org.springframework.http.HttpHeaders;
import org.springframework.http.MediaType;
import org.springframework.http.converter.HttpMessageConverter;
import org.springframework.http.server.ServerHttpRequest;
import org.springframework.http.server.ServerHttpResponse;
import org.springframework.web.bind.annotation.ControllerAdvice;
import org.springframework.web.servlet.mvc.method.annotation.ResponseBodyAdvice;

/** Tells the address of a list's next page in the header {@code Link} too (RFC 8288). */
@ControllerAdvice
class NextPage implements ResponseBodyAdvice<Object> {

  @Override
  public boolean supports(
      MethodParameter answer, Class<? extends HttpMessageConverter<?>> converter) {
    return Page.class.isAssignableFrom(answer.getParameterType());
  }

  @Override
  public @Nullable Object beforeBodyWrite(
      @Nullable Object body,
      MethodParameter answer,
      MediaType form,
      Class<? extends HttpMessageConverter<?>> converter,
      ServerHttpRequest request,
      ServerHttpResponse response) {
    if (body instanceof Page<?> page && page.next() != null) {
      response.getHeaders().add(HttpHeaders.LINK, "<" + page.next() + ">; rel=\"next\"");
    }
    return body;
  }
}
