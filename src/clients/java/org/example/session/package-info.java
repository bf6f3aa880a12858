/** Sessions with clients that a generator made from the API document. */
package org.example.session;
